// Package laws holds the laws of growth and nucleation as a study gives them: the only tables from
// law = "…" to a Go type, with the keys of each law beside it.
//
//  1. MaterialFields and NucleationFields list the keys. They follow from the two tables, of growth
//     (growth.go) and of nucleation (nuclei.go): a new law is one row of one of them.
//  2. Growth and Nuclei read the laws of a document and say what is wrong with them.
//  3. A law counts per mm³ or per mm². In a plane the melt takes either: per mm³ of the body that
//     the plane stands for, or per mm² of the plane.
package laws
