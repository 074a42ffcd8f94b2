package battery

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
)

// convergence is item 9: how fast measures near their limits as cells get smaller.
func convergence(on *bench) {
	few, less := halved(0.4, of(on.short, 5, 3)), halved(of(on.short, 0.8, 0.4), of(on.short, 5, 3))
	volumes := func(on *bench) { gather(on, freeGrains(on.short), freeGrain.check) }
	curves := func(on *bench) {
		cases := of(on.short, 48, 24)
		sectorOrder(on, "2D, section, curved boundary", "sector-plane", 2, 15, 12, few, cases)
		sectorOrder(on, "3D, curved boundary", "sector-space", 3, 9, 6, halved(of(on.short, 1.2, 0.6), of(on.short, 5, 3)),
			cases)
	}
	// c faces four times as fast have gone through when the a faces stop, so the clear columns are the
	// box from above.
	clear := func(on *bench) {
		clearOrder(on, "plane", "2D, turned by 0 to 45°", few, of(on.short, 48, 12), block("ab", 1, 14, 14))
		clearOrder(on, "space", "3D, turned about the vertical by 0 to 45°", less, of(on.short, 24, 4),
			block("", 1, 14, 14, 2))
	}
	parts(on, volumes, curves, clear)
}

// order is the slope of the errors against the cell size, both in logarithms.
func order(cells, errors []float64) float64 {
	logs := func(values []float64) (out []float64) {
		for _, v := range values {
			out = append(out, math.Log(v))
		}
		return out
	}
	_, slope := stat.LinearRegression(logs(cells), logs(errors), nil, false)
	return slope
}

// deviations of one measure, by cell size: found less expected, and less what the canary expects.
type deviations struct {
	cells        []float64
	right, wrong [][]float64
}

func (e *deviations) add(cell, right, wrong float64) {
	if e.right == nil {
		e.right, e.wrong = make([][]float64, len(e.cells)), make([][]float64, len(e.cells))
	}
	i := slices.Index(e.cells, cell)
	e.right[i], e.wrong[i] = append(e.right[i], right), append(e.wrong[i], wrong)
}

// rms is the root mean square, bias the size of the mean.
func rms(values []float64) float64 {
	sum := 0.0
	for _, v := range values {
		sum += v * v
	}
	return math.Sqrt(sum / float64(len(values)))
}

func bias(values []float64) float64 { return math.Abs(stat.Mean(values, nil)) }

func (e deviations) compare(on *bench, quantity, where, source, sample, wrong string, of func([]float64) float64,
	expected float64) {
	var right, off []float64
	for i := range e.cells {
		right, off = append(right, of(e.right[i])), append(off, of(e.wrong[i]))
	}
	last := len(right) - 1
	with := values{"what": quantity, "where": where, "source": source, "sample": sample, "cells": e.cells,
		"largest": e.cells[0], "smallest": e.cells[last], "first": right[0], "last": right[last], "wrong": wrong}
	on.instead("order", with, expected, order(e.cells, right), 0.2, order(e.cells, off))
}

// halved are n cell sizes, each half of the one before.
func halved(largest float64, n int) (cells []float64) {
	for range n {
		cells = append(cells, largest)
		largest /= 2
	}
	return cells
}

// The grains of this item have a seed of 2.2 mm off the middle of the body and grow at 1 mm/h, a
// faces and c faces alike. While the programme jumps to 10 K a face grows onTheWay: half a
// ten-thousandth of an hour at 1 mm/h.
const (
	freeSeed, freeX, freeY = 2.2, 0.3709, -0.5291
	tooFast, fasterBy2     = 1.02, "growth rate 2 % higher"
	onTheWay               = 0.5e-4
)

// freeGrain is one seed, grown at three places for each cell size.
type freeGrain struct {
	name, where, source string
	order               float64 // expected
	cells               []float64
	body                string
	turnDeg             float64
	rateC               float64
	to, all             float64 // hours of growth, volume of the body
	// of the grain, where its c face is through or the body is a plane; 0: as long as it has grown
	deep float64
}

func (g freeGrain) volume(l float64) float64 {
	deep := g.deep
	if deep == 0 {
		deep = l
	}
	return math.Pow(freeSeed+2*l, 2) * deep
}

func freeGrains(short size) []freeGrain {
	const aligned, goldenRatio = "lattice points in boxes: mean square over positions",
		"lattice points under a line of badly approximable slope (G. H. Hardy & J. E. Littlewood, " +
			"Proc. London Math. Soc. 20 (1922) 15, from memory)"
	// The tangent is the golden ratio's 0.618, which no fraction of small numbers comes near: no edge
	// runs along rows of cells. In space c faces four times as fast are through long before the hours
	// that are compared.
	const goldenDeg = 31.71747441146101
	return []freeGrain{
		{"plane", "2D, faces along the cells", aligned, 1, halved(0.8, of(short, 5, 4)), block("ab", 1, 20, 20), 0, 1, 7.9271,
			400, 1},
		{"space", "3D, faces along the cells", aligned, 1, halved(1, of(short, 5, 3)), block("", 1, 16, 16, 8), 0, 1, 5.8713,
			2048, 0},
		{"turned-plane", "2D, turned so that tan = 0.618…", goldenRatio, 2, halved(0.4, of(short, 5, 3)),
			block("ab", 1, 20, 20),
			goldenDeg, 4, 5.3127, 400, 1},
		{"turned-space", "3D, turned about the vertical so that tan = 0.618…, c faces through", goldenRatio, 2,
			halved(of(short, 0.8, 0.4), of(short, 5, 3)), block("", 1, 20, 20, 2), goldenDeg, 4, 5.3127, 800, 2},
	}
}

// check compares the solid share of a body, hour by hour, with the volume of a free grain of a
// grown length.
func (g freeGrain) check(on *bench) {
	e := deviations{cells: g.cells}
	for j, at := range [][2]float64{{freeX, freeY}, {0.1137, 0.2919}, {-0.4343, 0.5711}} {
		r := on.Run(fmt.Sprintf("order-%s-%d", g.name, j), study{peritectic: 1000, a: power{1, 1}, c: power{g.rateC, 1},
			body:  g.body,
			seeds: []pose{{at[0], at[1], freeSeed, g.turnDeg}}, p: jumpAndHold(g.to), melt: noNuclei, history: true,
			vary: []string{vary("body.cell_mm", g.cells)}}.text())
		cell, cases := map[string]float64{}, r.Texts("history", "case_id")
		for i, id := range r.Texts("runs", "case_id") {
			cell[id] = r.Numbers("runs", "cell_mm")[0][i]
		}
		x := r.Numbers("history", "time_h", "solid_fraction", "undercooling_K")
		start := math.Inf(1)
		for i, t := range x[0] {
			if x[2][i] >= 10 {
				start = math.Min(start, t)
			}
		}
		for i, t := range x[0] {
			if l := t - start + onTheWay; l >= 2 && l <= g.to {
				solid, last := x[1][i]*g.all, g.volume(g.to)
				e.add(cell[cases[i]], (solid-g.volume(l))/last, (solid-g.volume(tooFast*l))/last)
			}
		}
	}
	sample := fmt.Sprintf("%d hours of a grain at three places", len(e.right[0]))
	e.compare(on, "volume, root mean square", g.where, g.source, sample, fasterBy2, rms, g.order)
}

const curvedSeed = 2.9

// curved is the half width of the c sector of a grain on a ramp.
func curved(rateA, kPerH float64) func(z float64) float64 {
	p, c := (exponentA+1)/(exponentC+1), kPerH/10
	a := rateA * math.Pow(c, exponentA) / (exponentA + 1) * math.Pow((exponentC+1)/math.Pow(c, exponentC), p)
	return func(z float64) float64 { return curvedSeed/2 + a*math.Pow(z, p) }
}

// sectorOrder grows a grain on ramps, whose c sector has a curved boundary of slope about 1: both
// faces grow 1 mm/h at 10 K.
func sectorOrder(on *bench, where, name string, dims int, half, deep float64, cells []float64,
	cases int) {
	rates := make([]float64, cases)
	for i := range rates {
		rates[i] = math.Round(1e4*0.5*math.Pow(8, (float64(i)+0.5)/float64(cases))) / 1e4
	}
	body := block("", 1, 2*half, 2*half, deep)
	if dims == 2 {
		body = block("ac", 1, 2*half, deep)
	}
	runs := on.Run("order-"+name, study{peritectic: 1000, a: power{1, exponentA}, c: power{1, exponentC}, body: body,
		melt:  noNuclei,
		seeds: []pose{{size: curvedSeed}}, p: programme{-1, []stage{{toK: 60, rate: 1}}},
		vary: []string{vary("schedule.stage.1.rate_K_per_h", rates), vary("body.cell_mm", cells)},
	}.text()).Numbers("runs", "rate_K_per_h", "cell_mm", "sector_c_fraction")
	e := deviations{cells: cells}
	for i, rate := range runs[0] {
		share := func(rateA float64) float64 { return pyramid(dims, 4000, half, deep, curved(rateA, rate)) }
		e.add(runs[1][i], runs[2][i]-share(1), runs[2][i]-share(tooFast))
	}
	e.compare(on, "share of the c sector, root mean square", where, "lattice points under a "+
		"curve: order 1.5",
		fmt.Sprintf("%d cooling rates", cases), "growth rate of the a faces 2 % higher", rms, 1.5)
}

// clearOrder compares the clear disc and square of free boxes with their width.
func clearOrder(on *bench, name, where string, cells []float64, turns int, body string) {
	const to = 3.3
	runs := on.Run("order-clear-"+name, study{peritectic: 1000, a: power{1, 1}, c: power{4, 1}, body: body, melt: noNuclei,
		seeds: []pose{{freeX, freeY, freeSeed, 0}}, p: jumpAndHold(to),
		vary: []string{evenly("seed.1.turn_deg", 45, turns), vary("body.cell_mm", cells)},
	}.text()).Numbers("runs", "cell_mm", "clear_diameter_mm", "clear_square_mm")
	discs, squares := deviations{cells: cells}, deviations{cells: cells}
	for i, cell := range runs[0] {
		discs.add(cell, runs[1][i]-freeSeed-2*to, runs[1][i]-freeSeed-2*to*tooFast)
		squares.add(cell, runs[2][i]-freeSeed-2*to, runs[2][i]-freeSeed-2*to*tooFast)
	}
	sample := fmt.Sprintf("%d turns", turns)
	discs.compare(on, "clear diameter, mean", where, "a disc that keeps clear of whole cells", sample, fasterBy2, bias, 1)
	squares.compare(on, "clear square, mean", where, "a square that keeps clear of whole cells", sample, fasterBy2, bias,
		1)
}
