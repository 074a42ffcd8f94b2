// Package evidence judges the program against results that were derived or published elsewhere, and
// writes one page of it.
//
//  1. A [Finding] holds the value expected from a source, the value found, and a tolerance with its
//     reason.
//  2. It carries a [Canary]: the same comparison with a constant made wrong on purpose. A check
//     that lets its canary pass is blind, and counts as failed: [Judged].
//  3. A [Page] is what came of a battery of items: the same as JSON, Markdown and HTML, without
//     times or names of machines. The battery itself is with the command that runs it, since a
//     reader of the page does not need it.
package evidence
