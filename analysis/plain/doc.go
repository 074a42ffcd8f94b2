// Package plain writes tables and numbers as plain text, for terminals and comments of files.
//
//  1. A Grid aligns rows under a head, which is set in several lines where it would be too wide
//     (grid.go).
//  2. Numbers keep as many digits as people need, and say where there is none; sizes and durations
//     have their units (number.go).
package plain
