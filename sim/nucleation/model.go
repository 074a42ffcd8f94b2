package nucleation

import (
	"onegrain/sim/body"
	"onegrain/sim/crystal"
	"onegrain/sim/nucleation/rate"
)

// Origin is where a grain comes from.
type Origin uint8

const (
	Seed   Origin = iota // laid on by hand
	Melt                 // in the volume
	Top                  // on the top face
	Side                 // on the lateral faces, the walls of holes included
	Bottom               // on the bottom face
)

// String is the word used in tables: seed, melt, top, side, bottom.
func (o Origin) String() string {
	if o > Bottom {
		return "unknown"
	}
	return [...]string{"seed", "melt", "top", "side", "bottom"}[o]
}

// Model is everything that decides spontaneous nucleation: a law per mm³ for the melt and per mm²
// for each kind of surface, nil where there is none, and how the crystals lie, Random where the
// texture is nil.
type Model struct {
	Melt, Top, Side, Bottom rate.Law
	Texture                 Texture
}

// Law is the law of an origin, nil where there is none.
func (m Model) Law(o Origin) rate.Law { return [...]rate.Law{nil, m.Melt, m.Top, m.Side, m.Bottom}[o] }

// Event is one attempt at a new grain; it is void where the place is no longer liquid.
type Event struct {
	TimeH         float64    // from the start of the programme
	UndercoolingK float64    // at its own cell
	AtMM          [3]float64 // inside the cell, or on its face for a surface; on a flat axis the cell's centre
	Cell          [3]int     // i, j, k
	Origin        Origin
	Orientation   crystal.Orientation
}

// outlineCell is where cell (i, j, k) lies in the outline (index) and on which layer.
func outlineCell(g *body.Grid, i, j, k int) (index, layer int) {
	nx, _, _ := g.Layer()
	if g.Flat == 1 {
		return k*nx + i, 0
	}
	return j*nx + i, k
}

// gridCell is the inverse.
func gridCell(g *body.Grid, index, layer int) [3]int {
	nx, _, _ := g.Layer()
	if g.Flat == 1 {
		return [3]int{index % nx, 0, index / nx}
	}
	return [3]int{index % nx, index / nx, layer}
}
