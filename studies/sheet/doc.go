// Package sheet reads tables as people and their spreadsheets write them: CSV.
//
//  1. [Read] takes byte order marks, CRLF, semicolons or tabs between cells and then decimal
//     commas, empty lines and cells, Latin 1, remarks. It checks the head line against the columns
//     of a [Kind] (sheet.go).
//  2. A [Row] gives its cells as numbers or words, each checked against its column (row.go).
//  3. What is wrong is noted with file, line, column, value, what was wanted and the next move;
//     Sheet.Err is all of it at once.
package sheet
