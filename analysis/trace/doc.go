// Package trace turns grids of values into lines. It takes plain arrays and gives polylines; it
// knows nothing of grains, studies or paper.
//
//  1. [Crossings] finds where the sides of a grid pass a level, and which of these places a contour
//     joins within each square. [Contour] is the same in points of the grid.
//  2. [Join] puts segments together, end to end, into the longest lines. Ends may be anything that
//     can be compared: places, or sides of a grid.
//  3. [Chains] does so with places, and drops those that lie on the straight way between their
//     neighbours.
package trace
