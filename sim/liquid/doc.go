// Package liquid says how much of a seeded body is liquid as a function of two lengths: how far the
// a faces and how far the c faces of its seeds have grown.
//
//  1. Under one temperature, and with nothing to grow round, a seed has captured a place once its a
//     faces have grown n_a and its c faces n_c, the distances of the place from the contact patch
//     along the seed's own axes. A place is solid once some seed has both. So the liquid left at
//     (L_a, L_c) is a [Table], made once for a body and its seeds, whatever laws and programme
//     (table.go, places.go).
//  2. A place that several seeds may take is solid in a union of quadrants of the plane (L_a, L_c).
//     A union of quadrants is a sum of quadrants with signs, so a table is no more than signed
//     weights at points (n_a, n_c), and nothing of it is rounded where the points are few.
//  3. A [Course] goes along a programme: it adds the rates of nucleation up against the grown
//     lengths, and so knows the strays expected in all of the liquid, and the hour at which the
//     last place is solid (course.go). It takes some microseconds, a run of the engine some tens of
//     milliseconds.
//  4. Where grains of several orientations meet, or a hole stands in the way, the table is a guess:
//     Table.Exact is false, and whoever uses it has to compare it with a run of the engine.
//
// Strays do not use up liquid here; that is what the exact odds ask for (sim/measure). Units: mm,
// mm², mm³, h, K.
package liquid
