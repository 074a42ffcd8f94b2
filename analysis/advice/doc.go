// Package advice designs a furnace programme: the quickest way to a solid body at a wanted chance
// of no stray.
//
//  1. A [Task] says what is wanted and hands over the body as a function: what becomes of a
//     programme without strays (Follow). Nothing here knows a grid or a file.
//  2. Where that function is a guess, a second one (Try) runs the body and corrects the guess:
//     designs are then tried until both agree, and the numbers of the last programme come only from
//     runs.
//  3. Early there is much liquid, late there is little: so the undercooling may rise as the grain
//     grows. A programme is a start and a few straight stages or holds; the simplex method looks
//     for those that fill the body soonest at the wanted chance, and stages are added while each is
//     worth it (stages.go). How near that comes to the best of all ways is tested (ideal_test.go).
//  4. A controller wants round numbers: stages and holds take tenths of an hour and end at tenths
//     of a kelvin (design.go).
//
// Units: mm, h and K of undercooling; hours count from where the programme passes the peritectic
// temperature on its way down.
//
// That the chance of no stray is exp(−Λ), Λ the strays expected in what is liquid, holds as in
// sim/measure (odds.go).
package advice
