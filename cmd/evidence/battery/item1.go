package battery

import (
	"math"

	"onegrain/cmd/evidence/door"
)

// lengths is item 1: the grown length along ramps and holds, and its inverse.
func lengths(on *bench) {
	gather(on, lengthScenes(on.short), lengthScene.check)
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

// kinetics of the worked cases: a faces, c faces, and c faces 1.35 times slower than a faces.
func kinetics() (a, c, aspect growthLaw) {
	return perSecond(2.8e-6, 1.9), perSecond(1.0e-6, 1.3), perSecond(2.8e-6/1.35, 1.9)
}

func lengthScenes(short size) []lengthScene {
	a, c, _ := kinetics()
	ta := points{[]float64{2, 6, 12, 20}, []float64{0.02, 0.2, 0.5, 0.7}}
	tc := points{[]float64{3, 8, 16}, []float64{0.05, 0.15, 0.4}}
	ramp := programme{0, []stage{{toK: 40, rate: 0.5}}}
	stairs := programme{0, []stage{{toK: 5, rate: jump}, {toK: 14, rate: 0.3}, {hold: 10}, {toK: 30, rate: 0.4},
		{hold: 60}}}
	late := programme{-2, []stage{{toK: 4, rate: 0.3}, {hold: 5}, {toK: 45, rate: 1}}}
	plane, body := of(short, 0.05, 0.25), of(short, 0.2, 0.5)
	return []lengthScene{
		{"ramp-plane", "2D from above, power laws, ramp 0.5 K/h", "ab", 30, 0, plane, 0, a, c, ramp},
		{"stairs-plane", "2D from above, seed turned 17°, power laws, jump, ramp, hold, ramp", "ab", 30, 0, plane, 17, a, c,
			stairs},
		{"late-section", "2D section, power laws, started 2 K above the peritectic", "ac", 30, 8, plane, 0, a, c, late},
		{"table-section", "2D section, table laws, jump, ramp, hold, ramp", "ac", 24, 12, plane, 0, ta, tc, stairs},
		{"ramp-body", "3D, seed turned 30°, power laws, ramp 0.5 K/h", "", 30, 4, body, 30, a, c, ramp},
		{"table-body", "3D, table laws, started 2 K above the peritectic", "", 20, 10, body, 0, ta, tc, late},
		{"stairs-body", "3D, power laws, jump, ramp, hold, ramp", "", 24, 6, body, 0, a, c, stairs},
	}
}

func (c lengthScene) check(on *bench) {
	sizes := map[string][]float64{"": {c.across, c.across, c.high}, "ab": {c.across, c.across}, "ac": {c.across, c.high}}
	r := on.Run("length-"+c.name, study{peritectic: peritecticC, a: c.a, c: c.c,
		body:  block(c.plane, c.cell, sizes[c.plane]...),
		seeds: []pose{{0, 0, seedMM, c.turn}}, p: c.p, melt: noNuclei, history: true, fields: true}.text())
	c.widths(on, r.Numbers("history", "time_h", "half_width_a_mm", "half_width_c_mm"))
	c.full(on, r.Numbers("runs", "time_to_full_h")[0][0])
	c.arrivals(on, r.Volume(""))
}

// widths compares the history with the closed form: at the end, and as the largest deviation on the
// way, in parts of the final width.
func (c *lengthScene) widths(on *bench, h [][]float64) {
	const tight = 1e-9
	worst, off := 0.0, 0.0
	for k, face := range []struct {
		name  string
		law   growthLaw
		start float64 // mm
	}{{"half width along a", c.a, seedMM / 2}, {"grown height along c", c.c, 0}} {
		if k == 1 && c.plane == "ab" {
			break
		}
		width := func(l growthLaw, t float64) float64 { return face.start + grown(l, c.p, t) }
		column, wrong, last := h[k+1], faster{face.law, 1.001}, c.p.end()
		final := width(face.law, last)
		for i, t := range h[0] {
			worst = math.Max(worst, math.Abs(column[i]-face.start-grown(face.law, c.p, t))/final)
			off = math.Max(off, math.Abs(column[i]-face.start-grown(wrong, c.p, t))/final)
		}
		on.against("width-end", values{"where": c.where, "face": face.name},
			final, column[len(column)-1], tight*final, width(wrong, last))
	}
	on.instead("width-way", values{"where": c.where, "moments": len(h[0])}, 0, worst, tight, off)
}

// needs are the lengths that the a and c faces must have grown to reach the centre of a cell, mm.
func (c *lengthScene) needs(v *door.Volume, cell int) (a, h float64) {
	x, y, z := v.Centre(cell)
	sin, cos := math.Sincos(c.turn * math.Pi / 180)
	if c.plane == "ac" {
		return math.Abs(x) - seedMM/2, c.high - z
	}
	a = math.Max(math.Abs(cos*x+sin*y), math.Abs(cos*y-sin*x)) - seedMM/2
	if c.plane == "ab" {
		return a, 0
	}
	return a, c.high - z
}

// full is the inverse: when the last place is reached, a bottom corner of the block.
func (c *lengthScene) full(on *bench, foundH float64) {
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
	on.against("full", values{"where": c.where}, want, foundH, 3e-7*want+last(1, 3e-5*c.cell)-want, last(1.001, 0))
}

// arrivals compares every cell that a face has captured. Hours are turned into lengths of the
// deciding face, so that cells of all times weigh alike.
func (c *lengthScene) arrivals(on *bench, v *door.Volume) {
	k := c.p.knots()
	deviation := func(by float64) (worst, longest float64, n int) {
		for cell, sector := range v.Sector {
			if v.Grain[cell] < 0 || sector > 5 {
				continue
			}
			need, other := c.needs(v, cell)
			l := c.a
			if sector >= 4 {
				l, need = c.c, other
			}
			n++
			longest = math.Max(longest, need)
			worst = math.Max(worst, math.Abs(along(faster{l, by}, k, float64(v.ArrivalH[cell]))-need))
		}
		return worst, longest, n
	}
	worst, longest, n := deviation(1)
	off, _, _ := deviation(1.001)
	on.instead("arrival-length", values{"where": c.where, "cells": n}, 0, worst, 1e-6*longest, off)
}
