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

const depths = 20000 // at which a sector of it is integrated

// pyramid integrates the c sector of half width w(z), at n depths: its share of a block (dims 3) or
// of a section (2) of that half width and height, mm.
func pyramid(dims, n int, half, deep float64, w func(z float64) float64) float64 {
	sum := 0.0
	for i := range n {
		x := math.Min(w((float64(i)+0.5)/float64(n)*deep), half) / half
		sum += math.Pow(x, float64(dims-1))
	}
	return sum / float64(n)
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
		pyramid(dims, depths, halfWide, high, w), o.c(), cell/halfWide/2, pyramid(dims, depths, halfWide, high, wrong))
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

// onRamp grows the body of the reference with its laws, at several cooling rates from 0 K.
func onRamp(on *bench, name, plane string, cell float64, rates []float64) (*door.Results, []sectors) {
	a, c, _ := kinetics()
	return study{a: a, c: c, body: sectorBody(plane, cell), p: programme{-1, []stage{{toK: 80, rate: 1}}},
		fields: plane != ""}.
		along(on, name, "schedule.stage.1.rate_K_per_h", rates)
}

const constantRatio = "a constant ratio R_a/R_c = 3"

func rampInSpace(on *bench) {
	cell, rates := of(on.short, 0.125, 0.5), []float64{0.1, 0.2, 0.3, 0.5, 1}
	_, o := onRamp(on, "ramp-space", "", cell, rates)
	for i, rate := range rates {
		where := fmt.Sprintf("3D, ramp from 0 K at %g K/h, n_a = 1.9, n_c = 1.3", rate)
		o[i].share(on, where, cell, 3, bent(rate), straight(3), constantRatio)
	}
}

// rampInSection looks at the curve itself. Its half width is steep, so a layer half a cell off
// moves it by R_a/R_c half cells.
func rampInSection(on *bench) {
	cell, rates := of(on.short, 0.025, 0.1), []float64{0.1, 0.3, 1}
	r, o := onRamp(on, "ramp-section", "ac", cell, rates)
	for i, rate := range rates {
		v := r.Volume(o[i].caseID)
		worst := func(rate float64) (d float64) {
			curve := bent(rate)
			for layer, w := range halfWidths(v) {
				if z := (float64(layer) + 0.5) * cell; curve(z) < halfWide-cell {
					d = math.Max(d, math.Abs(w-curve(z))/cell)
				}
			}
			return d
		}
		where := fmt.Sprintf("2D, section, ramp from 0 K at %g K/h", rate)
		on.instead("bent", values{"where": where, "cells": cellsOf(v)}, 0, worst(rate), 0.55, worst(1.2*rate))
		o[i].share(on, where, cell, 2, bent(rate), straight(3), constantRatio)
	}
}

// heldInSpace holds one undercooling: the ratio is that of the laws there.
func heldInSpace(on *bench) {
	cell, held := of(on.short, 0.125, 0.5), []float64{2, 5, 10, 20}
	a, c, _ := kinetics()
	_, o := study{a: a, c: c, body: sectorBody("", cell), p: jumpAndHold(10000)}.
		along(on, "held", "schedule.stage.1.to_undercooling_K", held)
	for i, dT := range held {
		ratio := alphaPerS / alphaC * math.Pow(dT, exponentA-exponentC)
		where := fmt.Sprintf("3D, held at %g K, R_a/R_c = %.4g", dT, ratio)
		o[i].share(on, where, cell, 3, straight(ratio), straight(ratio*math.Pow(10, exponentC-exponentA)),
			"rates in the wrong unit: ratio of the prefactors at 10 K")
	}
}

// The sample of the gradient comparison: a disc like that of the source, whose c sector without a
// gradient has the published share.
const (
	discRadius, discHigh       = 10.0, 8.0
	publishedNone, publishedUp = 0.375, 0.25 // without gradient, positive
	publishedDown              = 0.536       // negative
	heldAt                     = 10.0        // K, at the seed
)

// belowSeed is the share of the disc that the downward c face grows when its edge moves at the
// rates of its own depth: a ratio at the seed's undercooling, exponents, and a gradient that makes
// it colder below where positive.
func belowSeed(ratio, na, nc, kPerMM float64) float64 {
	const n = 4000
	w, sum := seedMM/2, 0.0
	for i := range n {
		z := (float64(i) + 0.5) / n * discHigh
		step := ratio * math.Pow((heldAt+kPerMM*z)/heldAt, na-nc) * discHigh / n
		sum += inDisc(w+step/2, discRadius)
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
func tiltedField(on *bench) {
	const rate = 0.2
	cell, ratio := of(on.short, 0.2, 0.4), ratioFor()
	gradients := of(on.short, []float64{0, 0.3, 0.6, -0.3, -0.6}, []float64{0, 0.6})
	for _, law := range []struct {
		name   string
		na, nc float64
	}{{"211-rich", 1, 1.3}, {"Pt-added", 1.9, 1.3}} {
		_, o := study{a: power{rate * ratio, law.na}, c: power{rate, law.nc}, body: disc(cell, 2*discRadius, discHigh),
			p: programme{-1, []stage{{toK: -20, rate: jump}, {toK: heldAt, rate: jump}, {hold: 3000}}}}.
			along(on, "gradient-"+law.name, "gradient.vertical_K_per_mm", gradients)
		for _, one := range o {
			with := values{"na": law.na, "nc": law.nc, "name": law.name, "gradient": one.value, "cell": cell, "all": one.c()}
			wrong := belowSeed(ratio, law.nc, law.na, one.value)
			if one.value == 0 {
				wrong = belowSeed(ratio/2, law.na, law.nc, 0)
			}
			f := finding("gradient", with, belowSeed(ratio, law.na, law.nc, one.value), one.down(), cell/discRadius/2)
			if one.value >= 0 {
				on.found = append(on.found, f.Against(wrong))
			}
			if one.value == 0 {
				continue
			}
			// to which side the share under the seed changes, with what was published
			published := publishedUp - publishedNone
			if one.value < 0 {
				published = publishedDown - publishedNone
			}
			f = finding("gradient-way", with, published, one.down()-o[0].down(), math.Abs(published))
			f.Reported = law.name == "Pt-added" && one.value > 0
			on.found = append(on.found, f.Against(-published))
		}
	}
}

func (o sectors) down() float64 { return o.volume[5] / o.volume[6] }
