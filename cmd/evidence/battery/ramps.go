package battery

import (
	"fmt"
	"math"

	"onegrain/cmd/evidence/door"
)

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
