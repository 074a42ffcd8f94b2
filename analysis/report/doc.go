// Package report writes what a study has found as one page that someone with a furnace reads
// without help.
//
//  1. [Sources] holds all that a page is made from: findings, figures as they were drawn, the case
//     that was looked at closely, failures, sessions. The caller gathers them; nothing is read or
//     computed here.
//  2. [Sources.HTML] writes the page (html.go), the answer first. Each section is a template of
//     words.html, which holds all prose and all tables. What is not there is said to be missing,
//     and why, or its section is left out.
//  3. What a template must find out in the findings is a function of found.go. Numbers are rounded
//     and carry their unit in number.go.
//  4. page.html is the frame: semantic, with a style sheet of its own, no script and nothing from
//     elsewhere; and the pieces that sections are made of: figures, heads of tables, cautions.
//     Tables and figures that are wider than a telephone scroll in a box of their own.
//
// Rejected: charts that move, which need a script to be read and cannot be printed; a page in
// pieces, which loses them when it is mailed.
package report
