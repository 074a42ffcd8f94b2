// Package growth holds the state of a run: which grain owns which cell of the body, through which
// face and since when.
//
// The steps of a run under one uniform undercooling:
//
//  1. Clock. Everything is a function of the length L_a that an a face has grown; a key is that
//     length in cells. The length of a c face maps to the same clock by one monotone table
//     (clock.go).
//  2. Lattice. Cells are kept in blocks of 64, 4×4×4 in space and 8×8 in a plane, with one bit a
//     cell for "of the body", "claimed" and "solid" (lattice.go).
//  3. Boxes. A free grain is a box in its own axes with six intercepts that never change with time
//     (box.go). All cells of a grain share its root box until something gets in the way.
//  4. Certificate. Before anything moves, cells are found that one grain must reach first and that
//     see its origin through such cells; there the root box alone is the answer, and nothing is
//     queued (certify.go, sight.go). Where that holds for a whole block, nothing is stored either.
//  5. Events. All other cells are captured one by one in the order of (key, cell). A captured cell
//     claims its liquid neighbours; the smaller key wins (front.go). Where a neighbour should long
//     have been the grain's and is not, the box is cut there and goes on from the cell
//     (contest.go).
//  6. Nuclei come in order of time and do not count where the cell is already solid.
//  7. Field. The finished run is read row by row (field.go); it is solid with its last place
//     (full.go).
//
// Under a gradient there is no common clock; local.go does the same with hours as keys.
//
// Lengths inside the package are in cells, positions in cells from the centre of cell (0, 0, 0),
// times in hours. Ties: equal keys are settled in the order of the cell number. Where two grains
// reach a cell within 1e-4 cell of one another, it goes to the one whose second faces were there
// earlier (under c faces that started in one plane boundaries run straight down), then to the one
// whose origin is nearer, then to the earlier one, so a symmetric problem has a symmetric result.
package growth
