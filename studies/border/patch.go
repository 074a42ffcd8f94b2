package border

import (
	"fmt"
	"math"
	"strings"

	"onegrain/sim/number"
	"onegrain/studies/strict"
)

// patch is the contact face of a seed: a turned rectangle on the top face.
type patch struct {
	at, half [2]float64
	u, v     [2]float64 // its own a and b axes
}

func (p place) patch(s *shape) patch {
	sin, cos := number.Sincos(p.TurnDeg * math.Pi / 180)
	q := patch{at: p.AtMM, half: [2]float64{p.SizeMM[0] / 2, p.SizeMM[1] / 2}, u: [2]float64{cos, sin}, v: [2]float64{-sin, cos}}
	if s.plane == "ac" { // seen edge on, all lie on one line
		q.half[1] = 0
	}
	return q
}

func (p patch) point(a, b float64) (x, y float64) {
	return p.at[0] + a*p.u[0] + b*p.v[0], p.at[1] + a*p.u[1] + b*p.v[1]
}

// inside samples the patch finer than a cell, with its corners.
func (p patch) inside(s *shape) bool {
	n, m := steps(p.half[0], s.cell), steps(p.half[1], s.cell)
	for i := 0; i <= n; i++ {
		for j := 0; j <= m; j++ {
			// a hair inwards: a seed may end just where the body does
			x, y := p.point(p.half[0]*(2*float64(i)/float64(n)-1)*(1-1e-9), p.half[1]*(2*float64(j)/float64(m)-1)*(1-1e-9))
			if !s.holds(x, y) {
				return false
			}
		}
	}
	return true
}

func steps(half, cell float64) int { return min(200, 1+int(4*half/cell)) }

// overlaps tells whether two turned rectangles share more than an edge: no axis of either separates them.
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

// checkSeeds finds seeds that do not fit the body, its cells, its plane or one another.
func checkSeeds(d *strict.Document, s *shape, seeds []place) strict.Problems {
	var found strict.Problems
	patches := make([]patch, len(seeds))
	reported := map[string]bool{} // one problem of a kind for each table is enough
	report := func(path, key, wanted, hint string) {
		if !reported[path+key] {
			reported[path+key] = true
			found = append(found, d.Problem(path+"."+key, wanted, hint))
		}
	}
	for i, seed := range seeds {
		if seed.SizeMM[0] <= 0 {
			return found // reported as missing
		}
		patches[i] = seed.patch(s)
		checkPlane(d, s, seed, report)
		narrow := seed.SizeMM[0]
		if s.plane != "ac" {
			narrow = math.Min(narrow, seed.SizeMM[1])
		}
		if narrow < 2*s.cell*(1-1e-9) {
			report(seed.path, "size_mm", fmt.Sprintf("a seed must be at least two cells wide, cell_mm is %g", s.cell), fmt.Sprintf("take cell_mm = %g or less", narrow/2))
		}
		if !patches[i].inside(s) {
			report(seed.path, where(d, seed.path), fmt.Sprintf("the seed at [%g, %g] mm reaches beyond the body", seed.AtMM[0], seed.AtMM[1]), "move it inwards or make it smaller")
		}
	}
	if len(found) == 0 {
		clashes(s, seeds, patches, func(i, j int) {
			report(seeds[j].path, where(d, seeds[j].path), fmt.Sprintf("the seed at [%g, %g] mm overlaps the one at [%g, %g] mm of %s", seeds[j].AtMM[0], seeds[j].AtMM[1],
				seeds[i].AtMM[0], seeds[i].AtMM[1], seeds[i].path), "move them apart")
		})
	}
	return found
}

// where is the key that places the seeds of a table.
func where(d *strict.Document, path string) string {
	for _, key := range []string{"radius_mm", "pitch_mm"} {
		if strings.HasPrefix(path, "seed_array.") && d.Has(path+"."+key) {
			return key
		}
	}
	return "at_mm"
}

// clashes calls back for every overlapping pair i < j; seeds are compared only where their circles meet.
func clashes(s *shape, seeds []place, patches []patch, hit func(i, j int)) {
	most := 0.0
	for _, p := range patches {
		most = math.Max(most, math.Hypot(p.half[0], p.half[1]))
	}
	near := map[[2]int][]int{} // by square of edge 2·most: only neighbouring squares can meet
	square := func(i int) [2]int {
		return [2]int{int(math.Floor(seeds[i].AtMM[0] / (2 * most))), int(math.Floor(seeds[i].AtMM[1] / (2 * most)))}
	}
	for j := range patches {
		c := square(j)
		for dx := -1; dx <= 1; dx++ {
			for dy := -1; dy <= 1; dy++ {
				for _, i := range near[[2]int{c[0] + dx, c[1] + dy}] {
					if patches[i].overlaps(patches[j]) {
						hit(i, j)
					}
				}
			}
		}
		near[c] = append(near[c], j)
	}
}

// checkPlane refuses placings that leave the plane of a two-dimensional body.
func checkPlane(d *strict.Document, s *shape, p place, report func(path, key, wanted, hint string)) {
	switch s.plane {
	case "ab":
		if p.TiltDeg != 0 {
			report(p.path, "tilt_deg", "a body seen from above (plane ab) knows no tilt", "take 0, or three dimensions")
		}
		if p.TiltSDDeg != 0 {
			report(p.path, "tilt_sd_deg", "a body seen from above (plane ab) knows no tilt", "take 0, or three dimensions")
		}
		if d.Number(p.path+".tilt_toward_deg") != 0 { // a radial ring adds to the seed's own
			report(p.path, "tilt_toward_deg", "a body seen from above (plane ab) knows no tilt, nor where it leans to", "leave it out, or take three dimensions")
		}
	case "ac":
		if p.AtMM[1] != 0 {
			report(p.path, "at_mm", "in a vertical section (plane ac) all seeds lie at y = 0", "write [x, 0]")
		}
		if strings.HasPrefix(p.path, "seed_array.") && d.Text(p.path+".turn") == "radial" {
			report(p.path, "turn", "a vertical section (plane ac) knows no turn about the vertical", `take "parallel", or three dimensions`)
		} else if p.TurnDeg != 0 {
			report(p.path, "turn_deg", "a vertical section (plane ac) knows no turn about the vertical", "take 0, or three dimensions")
		}
		if p.TurnSDDeg != 0 {
			report(p.path, "turn_sd_deg", "a vertical section (plane ac) knows no turn about the vertical", "take 0, or three dimensions")
		}
		if p.TiltDeg != 0 && math.Mod(p.TiltTowardDeg, 180) != 0 {
			report(p.path, "tilt_toward_deg", "in a vertical section (plane ac) a seed tilts towards 0° or 180°", "")
		}
	}
}
