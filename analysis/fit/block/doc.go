// Package block fits the laws of furnace runs and writes them for a person: the block of a study
// file to be pasted, with remarks on what is known of the law, and the rows beside it.
//
//  1. A [Question] is a sheet with what is known already. It may take a temperature from a material
//     and a body from a study.
//  2. [Question.Growth] and [Question.Nuclei] read the rows, fit a law to each kind of face or
//     place, and give an [Answer] for programs and for people (answer.go).
//  3. Blocks are the templates growth.txt and nuclei.txt, filled in (block.go). The rows are cells
//     of a table, the first of them its head.
package block
