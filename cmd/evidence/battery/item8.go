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

// charge is an unseeded puck of 25 × 10 mm, 4.9 cm³, held for 50 h at several undercoolings; laws
// of its own may override those of its base.
func charge(on *bench, name string, s study, heldK []float64) (strays []float64) {
	s.peritectic, s.body = 1100, disc(0.5, 25, 10)
	s.p = programme{0, []stage{{toK: 10, rate: jump}, {hold: puckH}}}
	s.vary = []string{vary("schedule.stage.1.to_undercooling_K", heldK)}
	x := on.Run("practice-"+name, s.text(), "--odds-only").Numbers("cases", "to_undercooling_K", "expected_strays_exact")
	for _, k := range heldK {
		strays = append(strays, at(x, k))
	}
	return strays
}

// span are undercoolings in steps of a tenth of a kelvin.
func span(from, to float64) (k []float64) {
	for i := math.Round(10 * from); i <= math.Round(10*to); i++ {
		k = append(k, i/10)
	}
	return k
}

// crossing is where strays, linear in their logarithm, reach a number.
func crossing(k, strays []float64, number float64) float64 {
	for i := 1; i < len(k); i++ {
		a, b := math.Log(strays[i-1]/number), math.Log(strays[i]/number)
		if a < 0 && b >= 0 {
			return k[i-1] + (k[i]-k[i-1])*a/(a-b)
		}
	}
	return math.NaN()
}

const (
	puckMM3 = math.Pi * 12.5 * 12.5 * 10
	puckH   = 50.0
)

// published is the rate (An/η) exp(−B (T_p/ΔT)²) per mm³ and hour; An in 1/(m³ s) · Pa s, η in Pa
// s.
func published(an, eta, b, tp, u float64) float64 {
	return an / eta * 3600e-9 * math.Exp(-b*tp*tp/(u*u))
}

// strayUndercoolings are those at which one stray per puck in 50 h is expected, for the published
// constants.
func strayUndercoolings(on *bench) {
	sm, nd := study{base: "Sm123, 1% O2"}, study{base: "Nd123, 1% O2", a: power{0.1, 2}, c: power{0.1, 2}}
	for i, q := range []struct {
		s                       study
		an, eta, b, tp, barrier float64 // barrier in K³, of the material table
		want, from, toK         float64
	}{
		{sm, 12.5e7, 0.01, 3.2e-3, 1290, 6.78e6, 15.2, 14, 17}, {sm, 12.5e7, 0.1, 3.2e-3, 1290, 6.78e6, 16.0, 14, 17},
		{nd, 3.5e7, 0.01, 1.5e-3, 1303, 3.29e6, 10.8, 10, 12.5}, {nd, 3.5e7, 0.1, 1.5e-3, 1303, 3.29e6, 11.4, 10, 12.5},
	} {
		q.s.melt = barrier{q.an / q.eta * 3600e-9, q.barrier}.toml("mm3")
		k := span(q.from, q.toK)
		strays := charge(on, fmt.Sprintf("stray-%d", i), q.s, k)
		with := values{"base": q.s.base, "eta": q.eta, "an": q.an, "b": q.b, "tp": q.tp, "holds": len(k)}
		on.against("one-stray", with, q.want, crossing(k, strays, 1), 0.07,
			q.tp*math.Sqrt(1.03*q.b/math.Log(published(q.an, q.eta, 0, q.tp, 1)*puckMM3*puckH)))
	}
}

// strayRates are how steeply strays come with undercooling: nuclei per hour in the same puck of
// Sm-123 at 0.04 Pa s.
func strayRates(on *bench) {
	k, want := []float64{14, 15, 16, 18, 20}, []float64{9e-5, 3e-3, 0.05, 4, 91}
	digit := []float64{0.5e-5, 0.5e-3, 0.005, 0.5, 0.5}
	for i, strays := range charge(on, "steep", study{base: "Sm123, 1% O2"}, k) {
		on.against("stray-rate", values{"held": k[i]}, want[i], strays/puckH, digit[i]+0.06*want[i],
			published(12.5e7, 0.04, 0.94*3.2e-3, 1290, k[i])*puckMM3)
	}
}

// calibration is the barrier of Y-123: one stray in 4.9 cm³ and 50 h near 20 K.
func calibration(on *bench) {
	k := span(18, 23)
	on.against("calibration", values{"holds": len(k)}, 19.5,
		crossing(k, charge(on, "calibration", study{base: y123}, k), 1), 2.5, 1303*
			math.Sqrt(1.5e-3/math.Log(1.1e4*puckMM3*puckH)))
}

// window is the published range of isothermal growth that gives a single grain: 988 to 1003 °C, on
// a puck of 24 × 8 mm.
func window(on *bench) {
	held := []float64{978, 981, 984, 986, 987, 988, 989, 990, 991, 992, 993, 996, 1000, 1003}
	x := on.Run("practice-window", study{base: y123, peritectic: 1010, body: disc(of(on.short, 0.25, 0.5), 24, 8),
		seeds: []pose{{size: 2}}, p: programme{-35, []stage{{toC: 990, rate: jump}, {hold: 400}}},
		vary: []string{vary("schedule.stage.1.to_C", held)},
	}.text(), "--odds-only").Numbers("cases", "to_C", "single_grain_probability_exact")
	edge := math.NaN() // where the chance passes one half
	for i := 1; i < len(held); i++ {
		if a, b := at(x, held[i-1]), at(x, held[i]); a < 0.5 && b >= 0.5 {
			edge = held[i-1] + (held[i]-held[i-1])*(0.5-a)/(b-a)
		}
	}
	on.against("window", nil, 988, edge, 5, 1010-11)
	for _, row := range []struct{ held, chance float64 }{{996, 1}, {1003, 1}, {978, 0}} {
		on.against("window-chance", values{"held": row.held, "single": row.chance == 1},
			row.chance, at(x, row.held), 0.1, 1-row.chance)
	}
}

// unseeded is how long an unseeded melt takes at 30 K.
func unseeded(on *bench) {
	x := on.Run("practice-unseeded", study{seed: 1, base: y123, peritectic: 1010,
		body: block("", of(on.short, 0.1, 0.25), 8, 8, 8),
		p:    programme{-35, []stage{{toK: 30, rate: jump}, {hold: 20}}}}.text()).Numbers("runs", "time_to_full_h")
	on.instead("unseeded", nil, 1, x[0][0], 0, 0)
}
