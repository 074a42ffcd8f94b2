// Package layout holds the body and its seeds as a person lays them out: in closed form, before
// there are cells.
//
//  1. Fields lists their keys (fields.go).
//  2. ReadBody reads the outline and the box around it (body.go), and says where sizes are no whole
//     number of cells (fit.go). An outline may be a picture (outline.go).
//  3. ReadSeeds lists single seeds and arrays of them (seeds.go); CheckSeeds holds their contact
//     patches against the body and one another (patch.go).
//  4. Grid makes the cells; Unseeded looks for pieces of them without a seed (grid.go).
//
// Lengths are in mm. The axis of the body is x = y = 0, its bottom z = 0.
package layout
