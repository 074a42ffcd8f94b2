package battery

import (
	"fmt"
	"math"
)

// practice is item 8: what the trade knows.
func practice(on *bench) {
	parts(on, growthTimes, furnaceTimes, strayUndercoolings, strayRates, calibration, window, unseeded)
}

const y123 = "Y123, air"

// endo is the growth of the a faces of Y-123 in air, 4.7e-7 ΔT^1.9 mm/s, as the material table has
// it.
func endo() power { return power{0.134, 1.9} }

// growthTimes are hours to grow a radius from a seed at the centre, from 5 K on, as worked out by
// hand from the same law.
func growthTimes(on *bench) {
	rates := []float64{0.2, 0.3, 0.5, 1}
	cell := of(on.short, 0.1, 0.2)
	for _, row := range []struct {
		radius float64
		hours  []float64 // at each rate
	}{{10, []float64{59, 47, 36, 24}}, {12.5, []float64{65, 52, 39, 26}}, {15, []float64{71, 57, 42, 28}},
		{20, []float64{81, 64, 48, 32}}, {30, []float64{96, 76, 56, 37}}} {
		p := programme{0, []stage{{toK: 5, rate: jump}, {toK: 50, rate: 1}}}
		x := on.Run(fmt.Sprintf("practice-time-%v", row.radius), study{base: y123, peritectic: 1010,
			body:  disc(cell, 2*row.radius+1, 0),
			seeds: []pose{{size: 1}}, p: p, melt: noNuclei, vary: []string{vary("schedule.stage.2.rate_K_per_h", rates)},
		}.text()).Numbers("cases", "rate_K_per_h", "time_to_full_h")
		for i, rate := range rates {
			p.stages[1].rate = rate
			last := endo().rate(5 + rate*row.hours[i])
			on.against("hours", values{"radius": row.radius, "rate": rate}, row.hours[i], at(x, rate),
				0.5+cell/2/last+0.002*row.hours[i], hours(faster{endo(), 1.2}, p, row.radius))
		}
	}
}

// at is the second column where the first is x; NaN if nowhere.
func at(columns [][]float64, x float64) float64 {
	for i, v := range columns[0] {
		if math.Abs(v-x) < 1e-9 {
			return columns[1][i]
		}
	}
	return math.NaN()
}

// furnaceTimes are those of whole pucks, with the seed on top, against what the trade says its runs
// take.
func furnaceTimes(on *bench) {
	for _, q := range []struct{ diameter, high, rate float64 }{
		{20, 8, 0.2}, {25, 10, 0.3}, {30, 12, 0.3}, {40, 15, 0.2}, {40, 15, 0.4}} {
		slow := func(toK float64) programme {
			return programme{0, []stage{{toK: 5, rate: 60}, {toK: toK, rate: q.rate}}}
		}
		x := on.Run(fmt.Sprintf("practice-puck-%v-%v", q.diameter, q.rate),
			study{base: y123, peritectic: 1010, melt: noNuclei,
				body: disc(of(on.short, 0.25, 0.5), q.diameter, q.high), seeds: []pose{{size: 2}}, p: slow(45),
			}.text()).Numbers("runs", "time_to_full_h")
		on.instead("furnace", values{"diameter": q.diameter, "high": q.high, "rate": q.rate}, 80, x[0][0],
			40, hours(faster{endo(), 10}, slow(200), q.diameter/2-1))
	}
}
