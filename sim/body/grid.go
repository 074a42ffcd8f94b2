package body

// State says what a cell of the grid is.
type State uint8

const (
	Inside   State = iota // part of the body: liquid until a grain captures it
	Outside               // beyond a convex outline: no obstacle, growth never has to go round it
	Obstacle              // a hole or a re-entrant part of the outline: growth has to go round it
)

// Grid is the body cut into cubic cells. Cell (i, j, k) has its centre at Origin + CellMM·(i, j,
// k); the axis of the body is x = y = 0 and its bottom z = 0. A two-dimensional body has one flat
// axis of a single cell: z for a plane seen from above, y for a vertical section, along which it
// stands for a body of FlatMM.
type Grid struct {
	N        [3]int     // cells along x, y, z; all ≥ 1
	CellMM   float64    // edge of a cell, mm
	Origin   [3]float64 // centre of cell (0, 0, 0), mm
	Flat     int        // index of the flat axis, -1 in three dimensions
	FlatMM   float64    // thickness along the flat axis, mm; 0 counts as 1, so areas read as volumes
	Periodic bool       // opposite faces of a block are joined
	outline  []State    // one layer; see State
	rim      Rim
}

// State tells what cell (i, j, k) is; cells off the grid are Outside. A body is its outline carried
// along one axis: along z, or along the flat y of a vertical section, whose outline lies in x and
// z.
func (g *Grid) State(i, j, k int) State {
	if i < 0 || j < 0 || k < 0 || i >= g.N[0] || j >= g.N[1] || k >= g.N[2] {
		return Outside
	}
	if g.Flat == 1 {
		j = k
	}
	return g.outline[j*g.N[0]+i]
}

// Layer is the extent of the outline: cells along x, cells along the second outline axis, and how
// many layers carry it.
func (g *Grid) Layer() (nx, ny, layers int) {
	if g.Flat == 1 {
		return g.N[0], g.N[2], 1
	}
	return g.N[0], g.N[1], g.N[2]
}

// Cells counts the cells of the body.
func (g *Grid) Cells() int {
	_, _, layers := g.Layer()
	n := 0
	for _, s := range g.outline {
		if s == Inside {
			n++
		}
	}
	return n * layers
}

// CellVolume is the volume in mm³ of one cell, in a plane of its column through the thickness.
func (g *Grid) CellVolume() float64 {
	switch {
	case g.Flat >= 0 && g.FlatMM > 0:
		return float64(float64(g.CellMM*g.CellMM) * g.FlatMM)
	case g.Flat >= 0:
		return float64(g.CellMM * g.CellMM)
	}
	return float64(float64(g.CellMM*g.CellMM) * g.CellMM)
}

// Centre is the centre of cell (i, j, k) in mm.
func (g *Grid) Centre(i, j, k int) (x, y, z float64) {
	return g.Origin[0] + float64(g.CellMM*float64(i)), g.Origin[1] + float64(g.CellMM*float64(j)),
		g.Origin[2] + float64(g.CellMM*float64(k))
}

// NewOutline makes a grid from one layer of states, nx·ny of them, x fastest, carried along
// `layers` cells.
func NewOutline(n [3]int, cellMM float64, origin [3]float64, flat int, outline []State) *Grid {
	return &Grid{N: n, CellMM: cellMM, Origin: origin, Flat: flat, outline: outline}
}
