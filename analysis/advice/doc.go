// Package advice designs a furnace programme: the quickest way to a solid body at a wanted chance
// of no stray.
//
//  1. A [Task] says what is wanted and hands over the body as functions: how far a face grows, how
//     many strays a law expects, and a run without strays under any programme (try). Nothing here
//     knows a grid or a file.
//  2. A [Trial] tells in how much liquid strays could still start when the leading face had grown
//     so far. Between trials that liquid stands for the body (proxy.go): strays and hours of a
//     programme then cost no run.
//  3. Early there is much liquid, late there is little: so the undercooling may rise as the grain
//     grows. A programme is a start and a few straight stages or holds; the simplex method looks
//     for those that fill the body soonest at the wanted chance, and stages are added while each is
//     worth it (stages.go). How near that comes to the best of all ways is tested (ideal_test.go).
//  4. A controller wants round numbers: stages and holds take tenths of an hour and end at tenths
//     of a kelvin (design.go).
//  5. Each design is tried by a run, and the liquid and the count of strays it finds correct the
//     next one (design.go). The numbers of the last programme come only from runs.
//
// Units: mm, h and K of undercooling; hours count from where the programme passes the peritectic
// temperature on its way down.
//
// That the chance of no stray is exp(−Λ), Λ the strays expected in what is liquid, holds as in
// sim/measure (odds.go).
package advice
