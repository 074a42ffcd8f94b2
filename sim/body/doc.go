// Package body cuts a shape into cubic cells.
//
//  1. A constructor (Disc, Block, Ring, Mask) takes the sizes in mm and the edge of a cell; a cell
//     belongs to the body where its centre lies inside the outline, on the line included.
//  2. The outline is one layer of cells, carried along the height. A width W gets round(W/cell)
//     cells, at least one, so that the body is symmetric about its axis x = y = 0; the bottom is z
//     = 0, the first layer's centre half a cell above.
//  3. What lies in the convex hull of the outline and yet not in the body (the hole of a ring, a
//     re-entrant corner) is an Obstacle (hull.go); everything else around the body is Outside.
//  4. Pieces (pieces.go) finds the connected parts, so that a part without a seed is noticed before
//     a run.
//
// Two dimensions are a flat axis of one cell: FromAbove flattens z, VerticalSection flattens y.
package body
