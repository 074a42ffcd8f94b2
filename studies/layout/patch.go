package layout

import (
	"fmt"
	"math"

	"onegrain/sim/number"
	"onegrain/studies/strict"
)

// patch is the contact face of a seed: a turned rectangle on the top face.
type patch struct {
	at, half [2]float64
	u, v     [2]float64 // its own a and b axes
}

func (p Seed) patch(b *Body) patch {
	sin, cos := number.Sincos(p.TurnDeg * math.Pi / 180)
	q := patch{p.AtMM, [2]float64{p.SizeMM[0] / 2, p.SizeMM[1] / 2}, [2]float64{cos, sin}, [2]float64{-sin, cos}}
	if b.plane == "ac" { // seen edge on, all lie on one line
		q.half[1] = 0
	}
	return q
}

func (p patch) point(a, b float64) (x, y float64) {
	return p.at[0] + a*p.u[0] + b*p.v[0], p.at[1] + a*p.u[1] + b*p.v[1]
}

// inside samples the patch finer than a cell, with its corners.
func (p patch) inside(b *Body) bool {
	n, m := steps(p.half[0], b.CellMM), steps(p.half[1], b.CellMM)
	along := func(half float64, i, n int) float64 { // a hair inwards: a seed may end just where the body does
		return half * (2*float64(i)/float64(n) - 1) * (1 - 1e-9)
	}
	for i := range n + 1 {
		for j := range m + 1 {
			if x, y := p.point(along(p.half[0], i, n), along(p.half[1], j, m)); !b.holds(x, y) {
				return false
			}
		}
	}
	return true
}

func steps(half, cell float64) int { return min(200, 1+int(4*half/cell)) }

// overlaps tells whether two turned rectangles share more than an edge: no axis of either separates
// them.
func (p patch) overlaps(q patch) bool {
	d := [2]float64{q.at[0] - p.at[0], q.at[1] - p.at[1]}
	for _, axis := range [][2]float64{p.u, p.v, q.u, q.v} {
		if math.Abs(dot(d, axis)) >= p.reach(axis)+q.reach(axis)-1e-9 && p.reach(axis)+q.reach(axis) > 0 {
			return false
		}
	}
	return true
}

func dot(a, b [2]float64) float64 { return a[0]*b[0] + a[1]*b[1] }

func (p patch) reach(axis [2]float64) float64 {
	return p.half[0]*math.Abs(dot(p.u, axis)) + p.half[1]*math.Abs(dot(p.v, axis))
}

// radii are the least and greatest distances of the patch from the body's axis.
func (p patch) radii() (least, most float64) {
	var out, in [2]float64 // from the middle to the axis, along u and v: beyond the far edge, beyond the near one
	for i, axis := range [][2]float64{p.u, p.v} {
		d := math.Abs(dot(p.at, axis))
		out[i], in[i] = d+p.half[i], math.Max(0, d-p.half[i])
	}
	return math.Hypot(in[0], in[1]), math.Hypot(out[0], out[1])
}

// CheckSeeds finds seeds that do not fit the body, its cells, its plane or one another.
func (b *Body) CheckSeeds(d *strict.Document, seeds []Seed) strict.Problems {
	var found strict.Problems
	patches := make([]patch, len(seeds))
	reported := map[string]bool{} // one problem of a kind for each table is enough
	report := func(s Seed, key, wanted, hint string) {
		if at := s.Table + "." + key; !reported[at] {
			reported[at] = true
			found = append(found, d.Problem(at, wanted, hint)...)
		}
	}
	at := func(s Seed) string { return fmt.Sprintf("[%g, %g] mm", s.AtMM[0], s.AtMM[1]) }
	for i, seed := range seeds {
		if seed.SizeMM[0] <= 0 {
			return found // reported as missing
		}
		patches[i] = seed.patch(b)
		b.leaves(d, seed, func(is bool, key, wanted, hint string) {
			if is {
				report(seed, key, wanted, hint)
			}
		})
		narrow := seed.SizeMM[0]
		if b.plane != "ac" {
			narrow = math.Min(narrow, seed.SizeMM[1])
		}
		if narrow < 2*b.CellMM*(1-1e-9) {
			report(seed, "size_mm", fmt.Sprintf("a seed must be at least two cells wide, cell_mm is %g", b.CellMM),
				fmt.Sprintf("take cell_mm = %g or less", narrow/2))
		}
		if !patches[i].inside(b) {
			report(seed, seed.where, "the seed at "+at(seed)+" reaches beyond the body", "move it inwards or make it smaller")
		}
	}
	if len(found) == 0 {
		clashes(patches, func(i, j int) {
			report(seeds[j], seeds[j].where, "the seed at "+at(seeds[j])+" overlaps the one at "+at(seeds[i])+
				" of "+seeds[i].Table, "move them apart")
		})
	}
	return found
}

// clashes calls back for every overlapping pair i < j; seeds are compared only where their circles
// meet.
func clashes(patches []patch, hit func(i, j int)) {
	most := 0.0
	for _, p := range patches {
		most = math.Max(most, math.Hypot(p.half[0], p.half[1]))
	}
	near := map[[2]int][]int{} // by square of edge 2·most: only neighbouring squares can meet
	for j, p := range patches {
		x, y := int(math.Floor(p.at[0]/(2*most))), int(math.Floor(p.at[1]/(2*most)))
		for square := range 9 {
			for _, i := range near[[2]int{x + square/3 - 1, y + square%3 - 1}] {
				if patches[i].overlaps(p) {
					hit(i, j)
				}
			}
		}
		near[[2]int{x, y}] = append(near[[2]int{x, y}], j)
	}
}

// leaves looks at the ways in which the placing of a seed may leave the plane of a two-dimensional
// body.
func (b *Body) leaves(d *strict.Document, s Seed, report func(is bool, key, wanted, hint string)) {
	const (
		noTilt = "a body seen from above (plane ab) has no tilt"
		noTurn = "a vertical section (plane ac) has no turn about the vertical"
		flat   = "take 0, or three dimensions"
	)
	switch b.plane {
	case "ab":
		toward := d.Number(s.Table + ".tilt_toward_deg") // to which a radial ring adds
		report(s.TiltDeg != 0, "tilt_deg", noTilt, flat)
		report(s.TiltSDDeg != 0, "tilt_sd_deg", noTilt, flat)
		report(toward != 0, "tilt_toward_deg", noTilt+", nor where it leans to", "leave it out, or take three dimensions")
	case "ac":
		report(s.AtMM[1] != 0, "at_mm", "in a vertical section (plane ac) all seeds lie at y = 0", "write [x, 0]")
		report(s.radial, "turn", noTurn, `take "parallel", or three dimensions`)
		report(!s.radial && s.TurnDeg != 0, "turn_deg", noTurn, flat)
		report(s.TurnSDDeg != 0, "turn_sd_deg", noTurn, flat)
		report(s.TiltDeg != 0 && math.Mod(s.TiltTowardDeg, 180) != 0, "tilt_toward_deg",
			"in a vertical section (plane ac) a seed tilts towards 0° or 180°", "")
	}
}
