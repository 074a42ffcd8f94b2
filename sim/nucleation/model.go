package nucleation

import (
	"onegrain/sim/nucleation/rate"

	"onegrain/sim/body"
	"onegrain/sim/crystal"
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

// Model is everything that decides spontaneous nucleation: a law per mm³ for the melt and per mm² for each kind of surface, nil
// where there is none. With Fibre all c axes are parallel to the vertical and only the turn about it is random; with Parallel all
// crystals stand alike, c up and a along x, as theories of aligned growth forms have it; else orientations are uniform on SO(3).
// In a two-dimensional body the turn is about the flat axis, so a, b or c stay in its plane.
type Model struct {
	Melt, Top, Side, Bottom rate.Law
	Fibre, Parallel         bool
}

func (m Model) law(o Origin) rate.Law { return [...]rate.Law{nil, m.Melt, m.Top, m.Side, m.Bottom}[o] }

// turned is the orientation of a nucleus from three uniforms.
func (m Model) turned(flat int, u [3]float64) crystal.Orientation {
	angle := float64(360 * u[0])
	switch {
	case m.Parallel:
		return crystal.Turned(0, 0, 0)
	case flat == 2 || (flat < 0 && m.Fibre):
		return crystal.Turned(angle, 0, 0)
	case flat >= 0 && m.Fibre: // a vertical section of upright crystals: nothing is left to chance
		return crystal.Turned(0, 0, 0)
	case flat >= 0:
		return crystal.Turned(0, angle, 0)
	}
	return crystal.Random(u[0], u[1], u[2])
}

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
