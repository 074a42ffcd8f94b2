package battery

import (
	"maps"
	"math"
	"slices"
)

// puck is a body with one seed of 3 mm in the middle of its top, and strays in the melt.
type puck struct {
	shape       string  // square, section, disc2 (from above), prism, disc
	half, high  float64 // half width or radius and height, mm; high is 0 for what is seen from above
	a, c        growthLaw
	law         nuclei
	where, kind string // kind of law: barrier, sites or steady
}

func (b puck) flat() bool { return b.shape == "square" || b.shape == "disc2" || b.shape == "section" }

// liquid is what the seeded box, cut by the body, has left: mm³, in the plane mm².
func (b puck) liquid(la, lc float64) float64 {
	w := seedMM/2 + la
	side := 4 * math.Pow(math.Min(w, b.half), 2)
	switch b.shape {
	case "square":
		return 4*b.half*b.half - side
	case "disc2":
		return math.Pi*b.half*b.half - inDisc(w, b.half)
	case "section":
		return 2*b.half*b.high - 2*math.Min(w, b.half)*math.Min(lc, b.high)
	case "prism":
		return 4*b.half*b.half*b.high - side*math.Min(lc, b.high)
	}
	return math.Pi*b.half*b.half*b.high - inDisc(w, b.half)*math.Min(lc, b.high)
}

// straysIn is Λ of a body of cells: each is liquid until the box reaches its centre.
func (b puck) straysIn(cell float64, p programme) (lambda float64) {
	hazard := expected(b.law, b.a, b.c, p, b.finish(p), 1200, func(_, _ float64) float64 { return 1 })
	unit, down := cell*cell, []float64{0}
	if !b.flat() {
		unit *= cell
	}
	if b.high > 0 {
		down = nil
		for k := range int(math.Round(b.high / cell)) {
			down = append(down, hours(b.c, p, (float64(k)+0.5)*cell))
		}
	}
	counts := b.reaches(cell)
	for _, reach := range slices.Sorted(maps.Keys(counts)) {
		across, count := hours(b.a, p, reach-seedMM/2), counts[reach]
		for _, t := range down {
			lambda += unit * float64(count) * hazard.at(math.Max(across, t))
		}
	}
	return lambda
}

// reaches are half widths of the box that just reach cells, seen from above or, in a section, along
// x, and how many cells each.
func (b puck) reaches(cell float64) map[float64]int {
	n := int(math.Round(2 * b.half / cell))
	round := b.shape == "disc" || b.shape == "disc2"
	all := map[float64]int{}
	for i := range n {
		x := math.Abs((float64(i)+0.5)*cell - float64(n)*cell/2)
		for j := range n {
			y := math.Abs((float64(j)+0.5)*cell - float64(n)*cell/2)
			switch {
			case b.shape == "section" && j > 0:
			case b.shape == "section":
				all[x]++
			case !round || x*x+y*y <= b.half*b.half*(1+1e-9):
				all[math.Max(x, y)]++
			}
		}
	}
	return all
}

// inDisc is the area of a square of half width w about the centre that lies in a disc of radius a.
func inDisc(w, a float64) float64 {
	switch {
	case w >= a:
		return math.Pi * a * a
	case w*math.Sqrt2 <= a:
		return 4 * w * w
	}
	return math.Pi*a*a - 4*(a*a*math.Acos(w/a)-w*math.Sqrt(a*a-w*w))
}

// finish is when the body is full.
func (b puck) finish(p programme) float64 {
	across := hours(b.a, p, b.half-seedMM/2)
	if b.high == 0 {
		return across
	}
	return math.Max(across, hours(b.c, p, b.high))
}

// strays is Λ(t) until the body is full.
func (b puck) strays(p programme) integral {
	return expected(b.law, b.a, b.c, p, b.finish(p), 600, b.liquid)
}

// study of the body with cells of an edge and a programme.
func (b puck) study(cell float64, p programme) study {
	unit := "mm3"
	if b.flat() {
		unit = "mm2"
	}
	body := disc(cell, 2*b.half, b.high)
	switch b.shape {
	case "square":
		body = block("ab", cell, 2*b.half, 2*b.half)
	case "section":
		body = block("ac", cell, 2*b.half, b.high)
	case "prism":
		body = block("", cell, 2*b.half, 2*b.half, b.high)
	}
	return study{peritectic: peritecticC, a: b.a, c: b.c, body: body, seeds: []pose{{size: seedMM}}, p: p,
		melt: b.law.toml(unit)}
}

// pucks are the bodies and laws of the survival cases.
func pucks() map[string]puck {
	a, c, aspect := kinetics()
	return map[string]puck{
		"square-a":  {"square", 15, 0, a, c, barrier{0.072, 1.5e6}, "2D from above, square of 30 mm, barrier law", "barrier"},
		"square-b":  {"square", 15, 0, a, c, sites{0.002, 12, 2}, "2D from above, square of 30 mm, sites law", "sites"},
		"round-a":   {"disc2", 15, 0, a, c, barrier{0.072, 1.5e6}, "2D from above, disc of 30 mm, barrier law", "barrier"},
		"section-b": {"section", 15, 10, a, aspect, sites{0.005, 12, 2}, "2D section, 30 × 10 mm, sites law", "sites"},
		"prism-a":   {"prism", 15, 12, a, c, barrier{0.36, 8e6}, "3D, block of 30 × 30 × 12 mm, barrier law", "barrier"},
		"prism-b":   {"prism", 15, 12, a, c, sites{0.0005, 32, 4}, "3D, block of 30 × 30 × 12 mm, sites law", "sites"},
		"disc-a":    {"disc", 15, 12, a, c, barrier{0.36, 8e6}, "3D, disc of 30 × 12 mm, barrier law", "barrier"},
		"disc-b":    {"disc", 15, 12, a, c, sites{0.0005, 32, 4}, "3D, disc of 30 × 12 mm, sites law", "sites"},
		"cube-a": {"prism", 15, 10, a, aspect, barrier{0.36, 1.75e6}, "3D, block of 30 × 30 × 10 mm, R_c = R_a/1.35, " +
			"barrier law", "barrier"},
		"cube-b": {"prism", 15, 10, a, aspect, sites{0.0005, 13, 2}, "3D, block of 30 × 30 × 10 mm, R_c = R_a/1.35, " +
			"sites law", "sites"},
		"drum-a": {"disc", 15, 10, a, aspect, barrier{0.36, 1.75e6}, "3D, disc of 30 × 10 mm, R_c = R_a/1.35, barrier law",
			"barrier"},
		"drum-b": {"disc", 15, 10, a, aspect, sites{0.0005, 13, 2}, "3D, disc of 30 × 10 mm, R_c = R_a/1.35, sites law",
			"sites"},
	}
}
