// Package evidence judges the program against results that were derived or published elsewhere, and writes one page of it.
//
//  1. An [Item] of the battery (package battery) writes studies, has them run through the user's door (package door: study file in,
//     tables out), and compares: each [Finding] holds what a source makes one expect, what was found, and a tolerance with its reason.
//  2. Each finding carries a [Canary]: the same comparison with a constant made wrong on purpose. A check that lets its canary
//     pass is blind, and counts as failed.
//  3. [Run] does all items at once, within the cores that the door allows, and judges.
//  4. A [Page] is what came of it: the same as JSON, Markdown and HTML, without times or names of machines.
package evidence
