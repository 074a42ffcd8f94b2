// Package again grows one case of a study once more, to look closer at it than its rows do.
//
//  1. Work grows its first placings without strays; Place takes the exact odds of each, and Mean
//     sums them up, for a case that is looked at here as for one that a runner has grown (odds.go).
//  2. Grow grows one replicate, with or without strays: a Grown is all that pictures, the report
//     and the field of a magnet are made from. CellsOf copies its field into plain arrays
//     (grown.go), Boundary finds the boundary of two grains.
//  3. Moments and Reach follow how far the first grain has come (reach.go).
//  4. Grown.Magnet asks package analysis/magnet what field the body traps and what current it
//     carries: columns of cells become a map (column.go) that is weighed whole, grain by grain and
//     through its boundaries (magnet.go). It is here and not in analysis, because analysis knows no
//     run.
//
// Units: mm, h, K, A/mm², T.
package again
