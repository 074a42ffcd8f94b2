// Package magnet computes how good a magnet or conductor a grain map makes: the field that a fully
// magnetised body traps, and the current that a strip carries.
//
//  1. [Map] is the body seen along its c axis: which grain each column of cells belongs to, and, as
//     a function, the share of the critical current that passes the boundary of two grains. [Law]
//     is the published law of that share.
//  2. A current in the plane is the curl of a stream function g: it runs along the lines of
//     constant g, and g changes by the current that runs between two places. Nowhere may g change
//     faster than the critical current density lets it; along a boundary of grains it may change by
//     the share only, for that is the current through the boundary. The largest such g is that of
//     the fully magnetised body. It is a distance: the least cost of a way to the outside, where a
//     mm costs the critical current within a grain, the share of it along a boundary, and nothing
//     in a hole (stream.go). With boundaries that pass nothing it is the distance to the edge of
//     the domain, a heap of sand on each of them.
//  3. g is a magnetisation along c. Its field is that of charges on the top and bottom face; each
//     cell is summed exactly, all cells at once by Fourier transform (field.go, convolve.go). Peaks
//     count where they stand out (peaks.go).
//  4. A strip carries what its weakest cut lets through. The weakest cut of a plane map is a
//     shortest way from edge to edge with the same costs, so no flow has to be found (strip.go).
//
// Lengths are mm, current densities A/m², fields T. All of it is an upper bound under named
// assumptions: see [Field].
//
// Sources: C. P. Bean, Rev. Mod. Phys. 36 (1964) 31 (uniform critical current); L. Prigozhin, J.
// Comput. Phys. 129 (1996) 190 (heap of sand); G. Strang, Math. Programming 26 (1983) 123 (largest
// flow and least cut in the plane), from memory; duality of least cut and shortest way in plane
// networks: L. R. Ford and D. R. Fulkerson, Canad. J. Math. 8 (1956) 399, from memory.
//
// Rejected: current loops summed cell by cell (the cells on ridges of g need care, and it is
// slower), a maximum flow by augmenting paths (seconds instead of a fraction, for the same number;
// gonum has none).
package magnet
