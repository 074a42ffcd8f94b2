// Package again grows one case of a study once more, to look closer at it than its rows do.
//
//  1. Work grows its first placings without strays; Place takes the exact odds of each.
//  2. Mean sums them up, for a case that is looked at here as for one that a runner has grown.
package again
