// Package block writes a fitted law for a person: the block of a study file to be pasted, with
// remarks on what is known of the law, and the rows beside it.
//
//  1. [Growth] and [Nuclei] fill in the templates growth.txt and nuclei.txt.
//  2. The rows are cells of a table, the first of them its head.
package block
