package grains

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"onegrain/analysis/evidence"
	"onegrain/cmd/evidence/door"
)

// growthSectors is item 7: how one grain divides into growth sectors.
func growthSectors() evidence.Item {
	return evidence.Item{
		Number: 7, Name: "Growth sectors of one seeded grain",
		Source: "the edge between the c face and an a face stands at m = s/2 + L_a when L_c = z: the c sector is a pyramid that opens downwards, straight with tan α = R_c/R_a for a constant ratio (F. C. Frank, in Growth and " +
			"Perfection of Crystals, Wiley 1958, 411; Y.-X. Guo et al., Cryst. Growth Des. 2015, doi 10.1021/cg501817z), curved as z^p with p = (n_a+1)/(n_c+1) on a ramp from 0 K (own, by elementary integrals)",
		Settles: "which face captures each cell, for constant and for changing ratios of the rates; that under a vertical gradient the edge moves with the undercooling of its own depth, and to which side the c sector changes",
		Cannot: "the size of the change that Guo et al. found: their gradient (K/mm), undercooling, seed and the sense of 'positive' are not in the abstract that was read; hotter upwards is taken for positive here. The direction " +
			"depends on the exponents of the two laws, which no gradient experiment with both signs has measured. Where it is hotter below, what lies beyond the edge is reached along the edge, by both faces at once: there the " +
			"sector is a matter of the last cell, and its share settles only slowly with smaller cells",
		Differences: []string{
			"With the exponents of Pt-added Y-123 (R_a: 1.9, R_c: 1.3, Endo et al. 1996) the c sector grows under gradients of both signs, since a ratio R_a/R_c that rises with undercooling widens the pyramid where it is colder below. " +
				"The published decrease for one sign needs R_c to rise faster with undercooling than R_a, as with the linear R_a of 211-rich powders (Nakamura et al. 1996) beside the 1.3 of R_c. Neither program nor source is shown to be wrong.",
		},
		Check: checkSectors,
	}
}

func checkSectors(d *door.Door, s evidence.Size) ([]evidence.Finding, error) {
	parts := []func(*door.Door, evidence.Size) ([]evidence.Finding, error){steadyInSpace, steadyInSection, rampInSpace, rampInSection, heldInSpace, tiltedField}
	return gather(len(parts), func(i int) ([]evidence.Finding, error) { return parts[i](d, s) })
}

// sectorBody: half width, height and seed of the reference, mm.
const halfWide, high, seedWide = 15.0, 12.0, 3.0

// pyramid integrates the c sector of half width w(z): its share of the block (dims 3) or of the section (2).
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
	return func(z float64) float64 { return seedWide/2 + ratio*z }
}

// Growth laws of the reference, mm/s at 1 K.
const alphaC, exponentC = 1.0e-6, 1.3

// bent is the half width on a ramp from 0 K.
func bent(kPerH float64) func(z float64) float64 {
	c, p := kPerH/3600, (exponentA+1)/(exponentC+1)
	a := alphaPerS * math.Pow(c, p-1) * math.Pow((exponentC+1)/alphaC, p) / (exponentA + 1)
	return func(z float64) float64 { return seedWide/2 + a*math.Pow(z, p) }
}

func bothLaws() string {
	return fmt.Sprintf("growth_a = {law = \"power\", rate_at_10K_mm_per_h = %v, exponent = %v}\ngrowth_c = {law = \"power\", rate_at_10K_mm_per_h = %v, exponent = %v}",
		at10K(alphaPerS, exponentA), exponentA, at10K(alphaC, exponentC), exponentC)
}

// varied are the cases of a study along one key.
func varied[T any](key string, values []T) string {
	return fmt.Sprintf("[[vary]]\nkey = %q\nvalues = %s", key, list(values))
}

// sectorsOf are the volumes of the sectors of the first grain of each case, in the order of the values varied: +a, -a, +b, -b, +c, -c, all.
type sectorsOf struct {
	value  float64
	caseID string
	volume [7]float64
}

func (o sectorsOf) c() float64 { return (o.volume[4] + o.volume[5]) / o.volume[6] }

// sectorsIn reads the cases of a study in the order of the values of the key varied.
func sectorsIn(r *door.Results, key string, values []float64) ([]sectorsOf, error) {
	runs, err := r.Table("runs")
	if err != nil {
		return nil, err
	}
	grains, err := r.Table("grains")
	if err != nil {
		return nil, err
	}
	column := key[strings.LastIndexByte(key, '.')+1:]
	all, at := make([]sectorsOf, len(values)), map[any]int{}
	for i := range runs.Len() {
		value, _ := runs.Value(i, column).(float64)
		n := slices.Index(values, value)
		if n < 0 || runs.Value(i, "status") != "solid" {
			return nil, fmt.Errorf("%s: the case %s = %v is not of the study or did not become solid", r.Dir, column, value)
		}
		at[runs.Value(i, "case_id")] = n
		all[n] = sectorsOf{value: value, caseID: fmt.Sprint(runs.Value(i, "case_id"))}
	}
	for g := range grains.Len() {
		o := &all[at[grains.Value(g, "case_id")]]
		for n, column := range []string{"sector_a_plus_mm3", "sector_a_minus_mm3", "sector_b_plus_mm3", "sector_b_minus_mm3", "sector_c_plus_mm3", "sector_c_minus_mm3", "volume_mm3"} {
			x, _ := grains.Value(g, column).(float64)
			o.volume[n] += x
		}
	}
	return all, nil
}

// share compares the c sector of a case with a half width.
func (o sectorsOf) share(where string, cell float64, dims int, w, wrong func(z float64) float64, canary string) evidence.Finding {
	return evidence.Finding{Quantity: "share of the c sector", Where: where, Source: "pyramid integrated over the depth", Sample: fmt.Sprintf("%g mm cells", cell),
		Comparison: evidence.Comparison{Expected: pyramid(dims, w), Found: o.c(), Tolerance: cell / halfWide / 2}, Because: "a boundary off by half a cell, half of h/W",
	}.Against(canary, pyramid(dims, wrong))
}

// quarters: the a sectors are equal but for the cells on the diagonals.
func (o sectorsOf) quarters(where string, cell float64) evidence.Finding {
	worst, all := 0.0, o.volume[0]+o.volume[1]+o.volume[2]+o.volume[3]
	for _, v := range o.volume[:4] {
		worst = math.Max(worst, math.Abs(v/all-0.25))
	}
	return evidence.Finding{Quantity: "greatest deviation of an a sector from a quarter of all", Where: where, Source: "fourfold symmetry", Sample: fmt.Sprintf("%g mm cells", cell),
		Comparison: evidence.Comparison{Found: worst, Tolerance: cell / halfWide}, Because: "cells on the diagonals, h/W of the a sectors"}.Against("one sector the half of another", 0.1)
}

func steadyInSpace(d *door.Door, s evidence.Size) ([]evidence.Finding, error) {
	cell, ratios := evidence.Of(s, 0.2, 0.5), []float64{0.5, 1, 1.35, 2, 5, 11}
	o, err := steadySectors(d, "space", block("", cell, false, 2*halfWide, 2*halfWide, high), ratios, false)
	if err != nil {
		return nil, err
	}
	var found []evidence.Finding
	for i, ratio := range ratios {
		where := fmt.Sprintf("3D, R_a/R_c = %g", ratio)
		found = append(found, o.cases[i].share(where, cell, 3, straight(ratio), straight(ratio/2), "R_a/R_c half as large"), o.cases[i].quarters(where, cell))
	}
	return found, nil
}

// sectorRun is a study of sectors with its cases.
type sectorRun struct {
	results *door.Results
	cases   []sectorsOf
}

func steadySectors(d *door.Door, name, body string, ratios []float64, keep bool) (o sectorRun, err error) {
	const rate = 1.0
	slow := make([]float64, len(ratios))
	for i, k := range ratios {
		slow[i] = rate / k
	}
	const key = "material.growth_c.rate_at_10K_mm_per_h"
	o.results, err = d.Run("sectors-"+name, scene{body: body, rateA: rate, rateC: rate, seeds: []pose{{size: seedWide}}, holdH: 1000, keep: keep, more: varied(key, slow)}.text())
	if err == nil {
		o.cases, err = sectorsIn(o.results, key, slow)
	}
	return o, err
}

func steadyInSection(d *door.Door, s evidence.Size) ([]evidence.Finding, error) {
	cell, ratios := evidence.Of(s, 0.05, 0.1), []float64{0.5, 1, 1.35, 2, 5}
	o, err := steadySectors(d, "section", block("ac", cell, false, 2*halfWide, high), ratios, true)
	if err != nil {
		return nil, err
	}
	var found []evidence.Finding
	for i, ratio := range ratios {
		where := fmt.Sprintf("2D, section, R_a/R_c = %g", ratio)
		v, err := o.results.Volume(o.cases[i].caseID, 1)
		if err != nil {
			return nil, err
		}
		found = append(found, o.cases[i].share(where, cell, 2, straight(ratio), straight(ratio/2), "R_a/R_c half as large"), angle(where, v, ratio))
	}
	return found, nil
}

// angle fits a line to the half widths of the c sector and compares its slope with the rates.
func angle(where string, v *door.Volume, ratio float64) evidence.Finding {
	deep := math.Min(high, (halfWide-seedWide/2)/ratio) - v.CellMM
	var n, sz, sw, szz, szw float64
	for z, w := range halfWidths(v) {
		if z := (float64(z) + 0.5) * v.CellMM; z < deep {
			n, sz, sw, szz, szw = n+1, sz+z, sw+w, szz+z*z, szw+z*w
		}
	}
	slope := (n*szw - sz*sw) / (n*szz - sz*sz)
	alpha := func(ratio float64) float64 { return degrees * math.Atan(1/ratio) }
	f := evidence.Finding{Quantity: "angle α of the a/c boundary, from the top face", Where: where, Source: "tan α = R_c/R_a (Guo et al. 2015)", Unit: "°", Sample: fmt.Sprintf("line through %.0f layers of cells", n),
		Comparison: evidence.Comparison{Expected: alpha(ratio), Found: alpha(slope), Tolerance: degrees * v.CellMM / math.Hypot(deep, ratio*deep)}, Because: "one end of the boundary off by a cell"}
	return f.Against("R_a/R_c 5 % larger", alpha(1.05*ratio))
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
