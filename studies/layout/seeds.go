package layout

import (
	"fmt"
	"math"
	"strconv"

	"onegrain/sim"
	"onegrain/sim/furnace"
	"onegrain/sim/number"
	"onegrain/studies/strict"
)

// Seed is a seed and the table of the study that it comes from.
type Seed struct {
	sim.Seed
	Table       string  // "seed.2", "seed_array.1"
	PeritecticC float64 // +Inf where the study does not say
	where       string  // key that places it
	radial      bool    // it turns with its place on a circle
}

// mostSeeds keeps a slip of the pen in an array from filling the memory; it is more than any
// furnace holds.
const mostSeeds = 100000

// ReadSeeds lists all seeds: the single ones in their order, then the arrays.
func ReadSeeds(d *strict.Document) (seeds []Seed, found strict.Problems) {
	for i := 1; i <= d.Count("seed"); i++ {
		seeds = append(seeds, placing(d, "seed."+strconv.Itoa(i)))
	}
	for i := 1; i <= d.Count("seed_array"); i++ {
		one := placing(d, "seed_array."+strconv.Itoa(i))
		places := arrangement(d, &one)
		n := places.across * places.along
		if n > mostSeeds-len(seeds) {
			wanted := fmt.Sprintf("%d seeds in all, wanted at most %d", n+len(seeds), mostSeeds)
			return seeds, d.Problem(one.Table, wanted, "take fewer")
		}
		for k := range n {
			seeds = append(seeds, places.place(one, k))
		}
	}
	return seeds, nil
}

func pair(v []float64) (p [2]float64) {
	copy(p[:], v)
	return p
}

// placing reads what single seeds and arrays share.
func placing(d *strict.Document, table string) Seed {
	number := func(key string) float64 { return d.Number(table + "." + key) }
	s := Seed{Table: table, PeritecticC: math.Inf(1), where: "at_mm", Seed: sim.Seed{
		AtMM: pair(d.Numbers(table + ".at_mm")), SizeMM: pair(d.Numbers(table + ".size_mm")),
		TurnDeg: number("turn_deg"), TiltDeg: number("tilt_deg"), TiltTowardDeg: number("tilt_toward_deg"),
		TurnSDDeg: number("turn_sd_deg"), TiltSDDeg: number("tilt_sd_deg"),
	}}
	if d.Has(table + ".peritectic_C") {
		s.PeritecticC = number("peritectic_C")
	}
	return s
}

// array is how the seeds of an array lie: on a circle, or along two steps about its centre.
type array struct {
	radius        float64    // of a circle, 0 for none
	step, stride  [2]float64 // from seed to seed, from row to row
	along, across int        // seeds of a row, rows
}

// arrangement reads an array; it has no seeds where a key that lays them out is missing or was
// refused.
func arrangement(d *strict.Document, one *Seed) (a array) {
	number := func(key string) float64 { return d.Number(one.Table + "." + key) }
	kind := d.Text(one.Table + ".kind")
	where := map[string]string{"ring": "radius_mm", "grid": "pitch_mm", "row": "pitch_mm"}[kind]
	if where == "" || !d.Has(one.Table+"."+where) {
		return a
	}
	one.where, a.along, a.across = where, int(number("count")), 1
	switch pitch := pair(d.Numbers(one.Table + ".pitch_mm")); kind {
	case "ring":
		a.radius, one.radial = number("radius_mm"), d.Text(one.Table+".turn") == "radial"
	case "row":
		a.step = pitch
	case "grid":
		a.step[0], a.stride[1] = pitch[0], pitch[1]
		a.along, a.across = int(number("columns")), int(number("rows"))
	}
	return a
}

// place is seed k of an array about the place of one; on a circle the first lies towards +x. A
// radial seed turns with its place, and so does its tilt.
func (a array) place(one Seed, k int) Seed {
	p := one
	if a.radius > 0 {
		azimuth := 360 * float64(k) / float64(a.along)
		sin, cos := number.Sincos(azimuth * math.Pi / 180)
		for i, way := range [2]float64{cos, sin} {
			p.AtMM[i] = nanometre(one.AtMM[i] + float64(a.radius*way))
		}
		if one.radial {
			p.TurnDeg += azimuth
			p.TiltTowardDeg += azimuth
		}
		return p
	}
	u := float64(k%a.along) - float64(a.along-1)/2
	v := float64(k/a.along) - float64(a.across-1)/2
	for i := range p.AtMM {
		p.AtMM[i] = nanometre(one.AtMM[i] + float64(u*a.step[i]) + float64(v*a.stride[i]))
	}
	return p
}

// nanometre rounds a position, so that a quarter turn leaves no dust of 1e-16 mm that would break a
// symmetry.
func nanometre(mm float64) float64 { return math.Round(mm*1e6)/1e6 + 0 }

// Seat is where a seed lies in a gradient: its contact patch is on the top face, where only the
// distance from the axis matters.
func (b *Body) Seat(s Seed, g furnace.Gradient) furnace.Seat {
	least, most := s.patch(b).radii()
	_, hottest := span(g, least, most, 0)
	return furnace.Seat{PeritecticC: s.PeritecticC, HottestK: hottest, CentreK: g.Offset(s.AtMM[0], s.AtMM[1], 0)}
}
