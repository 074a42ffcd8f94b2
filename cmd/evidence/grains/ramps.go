package grains

import (
	"fmt"
	"math"

	"onegrain/analysis/evidence"
	"onegrain/cmd/evidence/door"
)

// onRamp grows at several cooling rates from 0 K.
func onRamp(d *door.Door, name, body string, rates []float64, keep bool) (o sectorRun, err error) {
	const key = "schedule.stage.1.rate_K_per_h"
	o.results, err = d.Run("sectors-"+name, scene{body: body, growth: bothLaws(), seeds: []pose{{size: seedWide}}, keep: keep,
		stages: "[[schedule.stage]]\nto_undercooling_K = 80\nrate_K_per_h = 1", more: varied(key, rates)}.text())
	if err == nil {
		o.cases, err = sectorsIn(o.results, key, rates)
	}
	return o, err
}

func rampInSpace(d *door.Door, s evidence.Size) ([]evidence.Finding, error) {
	cell, rates := evidence.Of(s, 0.125, 0.5), []float64{0.1, 0.2, 0.3, 0.5, 1}
	o, err := onRamp(d, "ramp-space", block("", cell, false, 2*halfWide, 2*halfWide, high), rates, false)
	if err != nil {
		return nil, err
	}
	var found []evidence.Finding
	for i, rate := range rates {
		where := fmt.Sprintf("3D, ramp from 0 K at %g K/h, n_a = 1.9, n_c = 1.3", rate)
		found = append(found, o.cases[i].share(where, cell, 3, bent(rate), straight(3), "a constant ratio R_a/R_c = 3"))
	}
	return found, nil
}

// rampInSection looks at the curve itself. Its half width is steep, so a layer half a cell off moves it by R_a/R_c half cells.
func rampInSection(d *door.Door, s evidence.Size) ([]evidence.Finding, error) {
	cell, rates := evidence.Of(s, 0.025, 0.1), []float64{0.1, 0.3, 1}
	o, err := onRamp(d, "ramp-section", block("ac", cell, false, 2*halfWide, high), rates, true)
	if err != nil {
		return nil, err
	}
	var found []evidence.Finding
	for i, rate := range rates {
		v, err := o.results.Volume(o.cases[i].caseID, 1)
		if err != nil {
			return nil, err
		}
		worst := func(rate float64) float64 {
			d, curve := 0.0, bent(rate)
			for layer, w := range halfWidths(v) {
				if z := (float64(layer) + 0.5) * cell; curve(z) < halfWide-cell {
					d = math.Max(d, math.Abs(w-curve(z))/cell)
				}
			}
			return d
		}
		where := fmt.Sprintf("2D, section, ramp from 0 K at %g K/h", rate)
		f := evidence.Finding{Quantity: "greatest distance of the a/c boundary from A z^p + s/2", Where: where, Source: "p = (n_a+1)/(n_c+1), elementary integrals", Unit: "cells", Sample: cellsOf(v),
			Comparison: evidence.Comparison{Found: worst(rate), Tolerance: 0.55}, Because: "a layer ends between two cells on either side: half a cell, and a tenth of that for rounding of times"}
		f.Canary = evidence.Canary{Wrong: "cooling 20 % faster", Comparison: evidence.Comparison{Found: worst(1.2 * rate), Tolerance: 0.55}}
		found = append(found, f, o.cases[i].share(where, cell, 2, bent(rate), straight(3), "a constant ratio R_a/R_c = 3"))
	}
	return found, nil
}

// heldInSpace holds one undercooling: the ratio is that of the laws there.
func heldInSpace(d *door.Door, s evidence.Size) ([]evidence.Finding, error) {
	cell, at := evidence.Of(s, 0.125, 0.5), []float64{2, 5, 10, 20}
	const key = "schedule.stage.1.to_undercooling_K"
	r, err := d.Run("sectors-held", scene{body: block("", cell, false, 2*halfWide, 2*halfWide, high), growth: bothLaws(), seeds: []pose{{size: seedWide}},
		stages: jumpTo(10) + "[[schedule.stage]]\nhold_h = 10000", more: varied(key, at)}.text())
	if err != nil {
		return nil, err
	}
	o, err := sectorsIn(r, key, at)
	if err != nil {
		return nil, err
	}
	var found []evidence.Finding
	for i, dT := range at {
		ratio := alphaPerS / alphaC * math.Pow(dT, exponentA-exponentC)
		where := fmt.Sprintf("3D, held at %g K, R_a/R_c = %.4g", dT, ratio)
		found = append(found, o[i].share(where, cell, 3, straight(ratio), straight(ratio*math.Pow(10, exponentC-exponentA)), "rates in the wrong unit: ratio of the prefactors at 10 K"))
	}
	return found, nil
}

// The sample of the gradient comparison: a disc like that of the source, whose c sector without a gradient has the published share.
const (
	discRadius, discHigh, discSeed = 10.0, 8.0, 3.0
	publishedNone, publishedUp     = 0.375, 0.25 // without gradient, positive
	publishedDown                  = 0.536       // negative
	heldAt                         = 10.0        // K, at the seed
)

// inDisc is the area of a square of half width w within the disc.
func inDisc(w float64) float64 {
	const a = discRadius
	switch {
	case w <= a/math.Sqrt2:
		return 4 * w * w
	case w >= a:
		return math.Pi * a * a
	}
	return math.Pi*a*a - 4*(a*a*math.Acos(w/a)-w*math.Sqrt(a*a-w*w))
}

// below is the share of the disc that the downward c face grows when its edge moves at the rates of its own depth: a ratio at
// the seed's undercooling, exponents, and a gradient that makes it colder below where positive.
func belowSeed(ratio, na, nc, kPerMM float64) float64 {
	const n = 4000
	w, sum := discSeed/2, 0.0
	for i := range n {
		z := (float64(i) + 0.5) / n * discHigh
		step := ratio * math.Pow((heldAt+kPerMM*z)/heldAt, na-nc) * discHigh / n
		sum += inDisc(w + step/2)
		w += step
	}
	return sum / n / (math.Pi * discRadius * discRadius)
}

// ratioFor is the ratio that gives the published share without a gradient.
func ratioFor() float64 {
	low, top := 0.1, 3.0
	for range 60 {
		if m := (low + top) / 2; belowSeed(m, 1, 1, 0) < publishedNone {
			low = m
		} else {
			top = m
		}
	}
	return low
}

// tiltedField puts the disc into vertical gradients of either sign, under two pairs of exponents.
func tiltedField(d *door.Door, s evidence.Size) ([]evidence.Finding, error) {
	cell, ratio, gradients := evidence.Of(s, 0.2, 0.4), ratioFor(), evidence.Of(s, []float64{0, 0.3, 0.6, -0.3, -0.6}, []float64{0, 0.6})
	body := fmt.Sprintf("shape = \"disc\"\ndiameter_mm = %v\nheight_mm = %v\ncell_mm = %v", 2*discRadius, discHigh, cell)
	var found []evidence.Finding
	for _, law := range []struct {
		name   string
		na, nc float64
	}{{"211-rich", 1, 1.3}, {"Pt-added", 1.9, 1.3}} {
		const rate, key = 0.2, "gradient.vertical_K_per_mm"
		r, err := d.Run("sectors-gradient-"+law.name, scene{body: body, seeds: []pose{{size: discSeed}}, stages: fmt.Sprintf("[[schedule.stage]]\nto_undercooling_K = -20\nrate_K_per_h = 100000\n%s[[schedule.stage]]\nhold_h = 3000", jumpTo(heldAt)),
			growth: fmt.Sprintf("growth_a = {law = \"power\", rate_at_10K_mm_per_h = %v, exponent = %v}\ngrowth_c = {law = \"power\", rate_at_10K_mm_per_h = %v, exponent = %v}", rate*ratio, law.na, rate, law.nc),
			more:   varied(key, gradients)}.text())
		if err != nil {
			return nil, err
		}
		o, err := sectorsIn(r, key, gradients)
		if err != nil {
			return nil, err
		}
		where := fmt.Sprintf("3D, disc 20 mm × 8 mm, exponents %g and %g (%s)", law.na, law.nc, law.name)
		found = append(found, gradientFindings(o, where, law.name, cell, ratio, law.na, law.nc)...)
	}
	return found, nil
}

func gradientFindings(o []sectorsOf, where, law string, cell, ratio, na, nc float64) (found []evidence.Finding) {
	down := func(o sectorsOf) float64 { return o.volume[5] / o.volume[6] }
	sample := fmt.Sprintf("%g mm cells", cell)
	for _, one := range o {
		place := fmt.Sprintf("%s, %+g K/mm", where, one.value)
		if one.value >= 0 {
			wrong, other := "exponents of the two laws exchanged", belowSeed(ratio, nc, na, one.value)
			if one.value == 0 {
				wrong, other = "R_a/R_c half as large", belowSeed(ratio/2, na, nc, 0)
			}
			found = append(found, evidence.Finding{Quantity: "share grown by the c face under the seed", Where: place, Source: "edge moves with R_a and R_c of its own depth (own); 37.5 % without gradient by choice of R_a/R_c", Sample: sample,
				Comparison: evidence.Comparison{Expected: belowSeed(ratio, na, nc, one.value), Found: down(one), Tolerance: cell / discRadius / 2}, Because: "a boundary off by half a cell",
			}.Against(wrong, other))
		}
		if one.value == 0 {
			continue
		}
		published := publishedUp - publishedNone
		if one.value < 0 {
			published = publishedDown - publishedNone
		}
		f := evidence.Finding{Quantity: "change of the share under the seed", Where: place, Source: "direction as published by Guo et al. 2015", Sample: sample,
			Comparison: evidence.Comparison{Expected: published, Found: down(one) - down(o[0]), Tolerance: math.Abs(published)}, Because: "the same sign, and not twice as much",
			Note: fmt.Sprintf("All c sectors, +c included: %.3f of the disc.", one.c())}
		f.Reported = law == "Pt-added" && one.value > 0
		found = append(found, f.Against("the published change with its sign turned", -published))
	}
	return found
}
