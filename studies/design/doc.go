// Package design makes the cases of a study from its axes, the [[vary]], and its [design].
//
//  1. Fields lists the keys of both.
//  2. Read checks the axes one by one (axis.go): what may be varied, the column that it makes, its
//     values or the range they are taken from.
//  3. The [design] says how they make cases (design.go): every combination, element by element, the
//     rows of a CSV file, or points spread over the ranges (spread.go).
//  4. A Design is a list of cases made when they are asked for: a plan of millions costs nothing.
package design
