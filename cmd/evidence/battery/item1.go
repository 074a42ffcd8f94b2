package battery

import (
	"fmt"
	"math"

	"github.com/sourcegraph/conc/iter"

	"onegrain/analysis/evidence"
	"onegrain/cmd/evidence/door"
)

// lengths is item 1: the grown length along ramps and holds, and its inverse.
func lengths() evidence.Item {
	return evidence.Item{
		Number: 1, Name: "Grown length along ramps and holds, and its inverse",
		Source: "elementary calculus: along ΔT = d + c t a law R(ΔT) gives L = (1/c) ∫ R dΔT, for R = α ΔT^n from 0 K α c^n t^(n+1)/(n+1); pieces add; the time for a length " +
			"is the inverse. The kinetics are illustrative (α 2.8e-6 and 1.0e-6 mm/s, n 1.9 and 1.3)",
		Settles: "that growth laws are integrated along the programme without the error of a time step, for both kinds of faces, and that a cell is captured when the face reaches its centre",
		Cannot:  "whether a power of the undercooling, or any table, is the law of a real melt",
		Check: func(d *door.Door, s evidence.Size) ([]evidence.Finding, error) {
			found := iter.Map(lengthScenes(s), func(c *lengthScene) each { return c.check(d) })
			return together(found)
		},
	}
}

// each is what one part of an item found, and together joins them.
type each struct {
	findings []evidence.Finding
	err      error
}

func together(parts []each) (all []evidence.Finding, err error) {
	for _, p := range parts {
		all = append(all, p.findings...)
		if err == nil {
			err = p.err
		}
	}
	return all, err
}

// lengthScene is a block with one seed of 3 mm in the middle of its top.
type lengthScene struct {
	name, where string
	plane       string // "", ab or ac
	across      float64
	high        float64 // mm; 0 in the plane ab
	cell        float64
	turn        float64 // of the seed about the vertical, degrees
	a, c        growthLaw
	p           programme
}

const seedMM = 3.0

func lengthScenes(s evidence.Size) []lengthScene {
	a, c := perSecond(2.8e-6, 1.9), perSecond(1.0e-6, 1.3)
	ta, tc := points{[]float64{2, 6, 12, 20}, []float64{0.02, 0.2, 0.5, 0.7}}, points{[]float64{3, 8, 16}, []float64{0.05, 0.15, 0.4}}
	ramp := programme{0, []stage{{toK: 40, rate: 0.5}}}
	stairs := programme{0, []stage{{toK: 5, rate: jump}, {toK: 14, rate: 0.3}, {hold: 10}, {toK: 30, rate: 0.4}, {hold: 60}}}
	late := programme{-2, []stage{{toK: 4, rate: 0.3}, {hold: 5}, {toK: 45, rate: 1}}}
	plane, body := evidence.Of(s, 0.05, 0.25), evidence.Of(s, 0.2, 0.5)
	return []lengthScene{
		{"ramp-plane", "2D from above, power laws, ramp 0.5 K/h", "ab", 30, 0, plane, 0, a, c, ramp},
		{"stairs-plane", "2D from above, seed turned 17°, power laws, jump, ramp, hold, ramp", "ab", 30, 0, plane, 17, a, c, stairs},
		{"late-section", "2D section, power laws, started 2 K above the peritectic", "ac", 30, 8, plane, 0, a, c, late},
		{"table-section", "2D section, table laws, jump, ramp, hold, ramp", "ac", 24, 12, plane, 0, ta, tc, stairs},
		{"ramp-body", "3D, seed turned 30°, power laws, ramp 0.5 K/h", "", 30, 4, body, 30, a, c, ramp},
		{"table-body", "3D, table laws, started 2 K above the peritectic", "", 20, 10, body, 0, ta, tc, late},
		{"stairs-body", "3D, power laws, jump, ramp, hold, ramp", "", 24, 6, body, 0, a, c, stairs},
	}
}

func (c *lengthScene) study() string {
	plane, size := "", fmt.Sprintf("[%v, %v, %v]", c.across, c.across, c.high)
	switch c.plane {
	case "ab":
		plane, size = "plane = \"ab\"\n", fmt.Sprintf("[%v, %v]", c.across, c.across)
	case "ac":
		plane, size = "plane = \"ac\"\n", fmt.Sprintf("[%v, %v]", c.across, c.high)
	}
	return melt(c.a, c.c) + fmt.Sprintf("[body]\nshape = \"block\"\n%ssize_mm = %s\ncell_mm = %v\n[[seed]]\nsize_mm = [%v, %v]\nturn_deg = %v\n", plane, size, c.cell, seedMM, seedMM, c.turn) +
		c.p.toml() + "[nucleation.melt]\nlaw = \"none\"\n[keep]\nhistory = true\nfields = \"all\"\n"
}

func (c *lengthScene) check(d *door.Door) each {
	r, err := d.Run("length-"+c.name, c.study())
	if err != nil {
		return each{nil, err}
	}
	history, err := r.Numbers("history", "time_h", "half_width_a_mm", "half_width_c_mm", "undercooling_K")
	if err != nil {
		return each{nil, err}
	}
	runs, err := r.Numbers("runs", "time_to_full_h")
	if err != nil {
		return each{nil, err}
	}
	v, err := r.Only()
	if err != nil {
		return each{nil, err}
	}
	found := c.widths(history)
	found = append(found, c.full(runs[0][0]), c.arrivals(v))
	return each{found, nil}
}

// faster is a law with its rate wrong by a factor.
type faster struct {
	growthLaw
	by float64
}

func (f faster) rate(u float64) float64     { return f.by * f.growthLaw.rate(u) }
func (f faster) integral(u float64) float64 { return f.by * f.growthLaw.integral(u) }

// face is one kind of face in the history.
type face struct {
	name   string
	law    growthLaw
	start  float64 // mm
	column []float64
}

// widths compares the history with the closed form: at the end, and as the largest deviation on the way, in parts of the final width.
func (c *lengthScene) widths(h [][]float64) (found []evidence.Finding) {
	faces := []face{{"half width along a", c.a, seedMM / 2, h[1]}, {"grown height along c", c.c, 0, h[2]}}
	if c.plane == "ab" {
		faces = faces[:1]
	}
	const tight = 1e-9
	worst, off := 0.0, 0.0
	scene := evidence.Finding{Where: c.where, Source: "closed form", Sample: "1 run, deterministic", Because: "integrated analytically: rounding alone, 1e-9"}
	for _, x := range faces {
		end := func(l growthLaw) float64 { return x.start + grown(l, c.p, c.p.end()) }
		final, wrong := end(x.law), faster{x.law, 1.001}
		for i, t := range h[0] {
			worst = math.Max(worst, math.Abs(x.column[i]-x.start-grown(x.law, c.p, t))/final)
			off = math.Max(off, math.Abs(x.column[i]-x.start-grown(wrong, c.p, t))/final)
		}
		f := scene
		f.Quantity, f.Unit = x.name+" at the end of the programme", "mm"
		f.Comparison = evidence.Comparison{Expected: final, Found: x.column[len(x.column)-1], Tolerance: tight * final}
		found = append(found, f.Against("rate +0.1 %", end(wrong)))
	}
	f := scene
	f.Quantity, f.Sample = "largest deviation of the half widths on the way, relative", fmt.Sprintf("%d moments of the history", len(h[0]))
	f.Comparison = evidence.Comparison{Found: worst, Tolerance: tight}
	f.Canary = evidence.Canary{Wrong: "rates +0.1 %", Comparison: evidence.Comparison{Found: off, Tolerance: tight}}
	return append(found, f)
}

// needs are the lengths that the a and c faces must have grown to reach the centre of a cell, mm.
func (c *lengthScene) needs(v *door.Volume, cell int) (a, h float64) {
	x, y, z := v.Centre(cell)
	sin, cos := math.Sincos(c.turn * math.Pi / 180)
	switch c.plane {
	case "ac":
		return math.Abs(x) - seedMM/2, c.high - z
	case "ab":
		z = 0
	}
	a = math.Max(math.Abs(cos*x+sin*y), math.Abs(cos*y-sin*x)) - seedMM/2
	if c.plane == "ab" {
		return a, 0
	}
	return a, c.high - z
}

// full is the inverse: when the last place is reached, a bottom corner of the block.
func (c *lengthScene) full(foundH float64) evidence.Finding {
	sin, cos := math.Sincos(c.turn * math.Pi / 180)
	farA := c.across/2*(cos+sin) - seedMM/2
	last := func(by, beyond float64) float64 {
		a := hours(faster{c.a, by}, c.p, farA+beyond)
		if c.plane == "ab" {
			return a
		}
		return math.Max(a, hours(faster{c.c, by}, c.p, c.high+beyond))
	}
	want := last(1, 0)
	return evidence.Finding{
		Quantity: "time to full", Where: c.where, Source: "inverse of the closed form, at a bottom corner", Unit: "h",
		Comparison: evidence.Comparison{Expected: want, Found: foundH, Tolerance: 3e-7*want + last(1, 3e-5*c.cell) - want},
		Because:    "lengths and hours of cells are kept in 24 bits: 6e-8 each; lengths are linear between moments, within 1e-5 cell, three times in a row",
		Sample:     "1 run, deterministic",
	}.Against("rates +0.1 %", last(1.001, 0))
}

// arrivals compares every cell that a face has captured. Hours are turned into lengths of the deciding face, so that cells of
// all times weigh alike.
func (c *lengthScene) arrivals(v *door.Volume) evidence.Finding {
	k := c.p.knots()
	deviation := func(a, h growthLaw) (worst, longest float64, n int) {
		for cell, sector := range v.Sector {
			if v.Grain[cell] < 0 || sector > 5 {
				continue
			}
			need, other := c.needs(v, cell)
			l := a
			if sector >= 4 {
				l, need = h, other
			}
			n++
			longest = math.Max(longest, need)
			worst = math.Max(worst, math.Abs(along(l, k, float64(v.ArrivalH[cell]))-need))
		}
		return worst, longest, n
	}
	worst, longest, n := deviation(c.a, c.c)
	off, _, _ := deviation(faster{c.a, 1.001}, faster{c.c, 1.001})
	f := evidence.Finding{
		Quantity: "arrival at each cell, largest |L(arrival) − distance|", Where: c.where, Source: "free growth form, closed form", Unit: "mm",
		Comparison: evidence.Comparison{Found: worst, Tolerance: 1e-6 * longest},
		Because:    "lengths and hours in 24 bits: (n + 2)·6e-8 of the longest way, and the table from c to a lengths",
		Sample:     fmt.Sprintf("%d cells", n),
	}
	f.Canary = evidence.Canary{Wrong: "rates +0.1 %", Comparison: evidence.Comparison{Found: off, Tolerance: f.Tolerance}}
	return f
}
