// Package border stands between what a person writes (°C, degrees, texts) and what the engine takes (kelvin of
// undercooling, Go types). It holds the only unit conversion and the only tables from law = "…" to a Go type.
//
// The story of a case:
//
//  1. Fields lists the keys of a study that decide the physics, with unit, range, default and condition (fields.go).
//  2. The body: its extent in closed form, the memory its cells need (shape.go), its grid of cells (grid.go).
//  3. The seeds, single ones and arrays of them, are laid out and checked against the outline and one another (seeds.go, patch.go).
//  4. The laws of growth and nucleation are looked up by name (laws.go).
//  5. The schedule becomes a programme, and what it would melt or dissolve is found (schedule.go).
//  6. Check does all but the grid and is cheap enough for thousands of variants; Case adds the grid (case.go).
package border
