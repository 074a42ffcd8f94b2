package battery

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"

	"onegrain/cmd/evidence/door"
)

// growthSectors is item 7: how one grain divides into growth sectors.
func growthSectors(on *bench) {
	parts(on, steadyInSpace, steadyInSection, rampInSpace, rampInSection, heldInSpace, tiltedField)
}

// Half width and height of the body of the reference, mm.
const halfWide, high = 15.0, 12.0

// pyramid integrates the c sector of half width w(z): its share of the block (dims 3) or of the
// section (2).
func pyramid(dims int, w func(z float64) float64) float64 {
	const n = 20000
	sum := 0.0
	for i := range n {
		x := math.Min(w((float64(i)+0.5)/n*high), halfWide) / halfWide
		sum += math.Pow(x, float64(dims-1))
	}
	return sum / n
}

// straight is the half width for a constant ratio of the rates.
func straight(ratio float64) func(z float64) float64 {
	return func(z float64) float64 { return seedMM/2 + ratio*z }
}

// Growth law of the c faces in the reference, mm/s at 1 K.
const alphaC, exponentC = 1.0e-6, 1.3

// bent is the half width on a ramp from 0 K.
func bent(kPerH float64) func(z float64) float64 {
	c, p := kPerH/3600, (exponentA+1)/(exponentC+1)
	a := alphaPerS * math.Pow(c, p-1) * math.Pow((exponentC+1)/alphaC, p) / (exponentA + 1)
	return func(z float64) float64 { return seedMM/2 + a*math.Pow(z, p) }
}

// sectors are the volumes of the sectors of the first grain of a case: +a, -a, +b, -b, +c, -c, all.
type sectors struct {
	value  float64 // of the key varied
	caseID string
	volume [7]float64
}

func (o sectors) c() float64 { return (o.volume[4] + o.volume[5]) / o.volume[6] }

// sectorBody is the body of the reference, from above whole or a section.
func sectorBody(plane string, cell float64) string {
	if plane == "" {
		return block("", cell, 2*halfWide, 2*halfWide, high)
	}
	return block(plane, cell, 2*halfWide, high)
}

// along runs a study of one seed with one key varied, and reads its cases in the order of the
// values. All must become solid.
func (s study) along(on *bench, name, key string, values []float64) (*door.Results, []sectors) {
	s.peritectic, s.seeds, s.melt, s.vary = 1000, []pose{{size: seedMM}}, noNuclei, []string{vary(key, values)}
	r := on.Run("sectors-"+name, s.text())
	column := key[strings.LastIndexByte(key, '.')+1:]
	ids, status, varied := r.Texts("runs", "case_id"), r.Texts("runs", "status"), r.Numbers("runs", column)[0]
	volumes := r.Numbers("grains", "sector_a_plus_mm3", "sector_a_minus_mm3", "sector_b_plus_mm3", "sector_b_minus_mm3",
		"sector_c_plus_mm3", "sector_c_minus_mm3", "volume_mm3")
	all := make([]sectors, len(values))
	for i, value := range varied {
		n := slices.Index(values, value)
		if n < 0 || status[i] != "solid" {
			panic(fmt.Errorf("%s: the case %s = %v is not of the study or did not become solid", r.Dir, column, value))
		}
		all[n] = sectors{value: value, caseID: ids[i]}
		for g, id := range r.Texts("grains", "case_id") {
			for k := range volumes {
				if id == ids[i] {
					all[n].volume[k] += volumes[k][g]
				}
			}
		}
	}
	return r, all
}

// share compares the c sector of a case with a half width.
func (o sectors) share(on *bench, where string, cell float64, dims int, w, wrong func(z float64) float64,
	canary string) {
	on.against("sector", values{"where": where, "cell": cell, "wrong": canary},
		pyramid(dims, w), o.c(), cell/halfWide/2, pyramid(dims, wrong))
}

// quarters: the a sectors are equal but for the cells on the diagonals.
func (o sectors) quarters(on *bench, where string, cell float64) {
	worst, all := 0.0, floats.Sum(o.volume[:4])
	for _, v := range o.volume[:4] {
		worst = math.Max(worst, math.Abs(v/all-0.25))
	}
	on.against("quarters", values{"where": where, "cell": cell}, 0, worst, cell/halfWide, 0.1)
}

// steadySectors holds 10 K with a faces that grow at 1 mm/h, for several ratios of the rates.
func steadySectors(on *bench, name, plane string, cell float64, ratios []float64) (*door.Results, []sectors) {
	slow := make([]float64, len(ratios))
	for i, k := range ratios {
		slow[i] = 1 / k
	}
	return study{a: power{1, 1}, c: power{1, 1}, body: sectorBody(plane, cell), p: jumpAndHold(1000), fields: plane != ""}.
		along(on, name, "material.growth_c.rate_at_10K_mm_per_h", slow)
}

const halfRatio = "R_a/R_c half as large"

func steadyInSpace(on *bench) {
	cell, ratios := of(on.short, 0.2, 0.5), []float64{0.5, 1, 1.35, 2, 5, 11}
	_, o := steadySectors(on, "space", "", cell, ratios)
	for i, ratio := range ratios {
		where := fmt.Sprintf("3D, R_a/R_c = %g", ratio)
		o[i].share(on, where, cell, 3, straight(ratio), straight(ratio/2), halfRatio)
		o[i].quarters(on, where, cell)
	}
}

func steadyInSection(on *bench) {
	cell, ratios := of(on.short, 0.05, 0.1), []float64{0.5, 1, 1.35, 2, 5}
	r, o := steadySectors(on, "section", "ac", cell, ratios)
	for i, ratio := range ratios {
		where := fmt.Sprintf("2D, section, R_a/R_c = %g", ratio)
		o[i].share(on, where, cell, 2, straight(ratio), straight(ratio/2), halfRatio)
		angle(on, where, r.Volume(o[i].caseID), ratio)
	}
}

// angle fits a line to the half widths of the c sector and compares its slope with the rates.
func angle(on *bench, where string, v *door.Volume, ratio float64) {
	deep := math.Min(high, (halfWide-seedMM/2)/ratio) - v.CellMM
	var depth, width []float64
	for layer, w := range halfWidths(v) {
		if z := (float64(layer) + 0.5) * v.CellMM; z < deep {
			depth, width = append(depth, z), append(width, w)
		}
	}
	_, slope := stat.LinearRegression(depth, width, nil, false)
	alpha := func(ratio float64) float64 { return degrees * math.Atan(1/ratio) }
	on.against("alpha", values{"where": where, "layers": len(depth)}, alpha(ratio), alpha(slope),
		degrees*v.CellMM/math.Hypot(deep, ratio*deep), alpha(1.05*ratio))
}

// halfWidths of the c sector of a section, layer by layer from the top, mm.
func halfWidths(v *door.Volume) []float64 {
	w := make([]float64, v.N[2])
	for c, sector := range v.Sector {
		if sector == 4 || sector == 5 {
			w[v.N[2]-1-c/v.N[0]] += v.CellMM / 2
		}
	}
	return w
}
