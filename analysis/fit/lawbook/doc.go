// Package lawbook learns the laws of a melt from a logbook of whole furnace runs and says for a
// person what came of it.
//
//  1. A [Question] is a logbook with what is known already: the body of a study, priors. What
//     `onegrain fit growth` and `onegrain fit nuclei` ask of the same file goes to package block.
//  2. [Question.Learn] reads the runs, learns the laws (package belief) and gives an [Answer]: the
//     laws as they stand in a file, and what is to be said of them (learn.go).
//  3. What it says begins with how much was seen; a table says of each unknown what the runs left
//     open and whether they or the prior told it (page.go). Notes say what the runs cannot tell
//     (notes.go).
package lawbook
