// Package sample spreads points over the unit cube, for studies of more quantities than a grid can
// hold.
//
//  1. The caller gives a key of random streams and a label for each axis. The same key and labels
//     give the same points, on every machine and under every later library.
//  2. A Latin hypercube (latin.go) takes each of its N slices of every axis once.
//  3. A Sobol sequence (sobol.go) with the direction numbers of Joe and Kuo (joekuo.txt) fills the
//     cube evenly in several axes at once. It is scrambled, so that it carries no trace of the
//     lattice, and may be continued: more points keep the first.
//  4. Points are made one by one, in any order, and nothing of them is kept.
package sample
