// Package report writes what a study has found as one page that someone with a furnace reads
// without help.
//
//  1. [Sources] holds all that a page tells: findings, figures as they were drawn, the case that
//     was looked at closely, failures, sessions, evidence. The caller gathers them; nothing is read
//     or computed here.
//  2. [Make] turns them into a [Page] of sections in a fixed order, the answer first (answer.go,
//     cases.go, case.go, joints.go, ending.go). What is not there is said to be missing, and why,
//     or its section is left out.
//  3. A section is a row of blocks: sentences, cautions, facts, tables, figures, folds (page.go).
//     Prose, the facts of the best case and tables whose columns are always the same stand in
//     words.txt, which is filled in and taken apart into blocks (say in answer.go). Numbers are
//     rounded and carry their unit before they get there (number.go).
//  4. Page.HTML writes it as one file (html.go, page.html): semantic, with a style sheet of its
//     own, no script and nothing from elsewhere. Tables and figures that are wider than a telephone
//     scroll in a box of their own.
//
// Rejected: charts that move, which need a script to be read and cannot be printed; a page in
// pieces, which loses them when it is mailed.
package report
