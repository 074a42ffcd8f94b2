// Package whole makes the report of a results folder: the page, the figures beside it, and one run
// grown again.
//
//  1. [Read] gathers what the page says from findings, folder and study.
//  2. [Report.Write] draws the charts, looks closely at the best case (case.go), and puts page and
//     figures where it is told to.
//
// What is in the way of looking at a case is said on the page and is no error.
package whole
