// Package likelihood says how probable it is that a furnace run shows what was seen of it, if a law
// is the melt's.
//
//  1. All of a run shares one shift of its undercooling, normal with the law's scatter and about
//     the offset of its furnace: a width that was measured tells the undercooling of the strays
//     beside it.
//  2. For a few shifts the engine's integrals give the strays expected and the lengths grown; their
//     logarithms are smooth, and polynomials go between (curve.go).
//  3. Given the shift, strays are Poisson's, and lengths are normal in their logarithm (fact.go).
//  4. The mean over shifts is a sum at even steps over all that counts, wherever that lies
//     (run.go).
//  5. The same curves say what a law would have foreseen (foresee.go).
//
// Of strays beyond 25 it only counts that they are so many: a full body has no place for more, and
// what such a number is worth would decide between families of laws. Units: mm, mm³, h, K.
package likelihood
