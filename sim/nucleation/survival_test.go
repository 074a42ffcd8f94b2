package nucleation

import (
	"onegrain/sim/nucleation/rate"

	"math"
	"testing"

	"onegrain/sim/furnace"
	"onegrain/sim/kinetics"
)

// One chance: a square of half width W with a growing square of half width h + R t in it, constant
// I: Λ = (4I/R)(W²(W−h) − (W³−h³)/3) = 3.82725 for I = 1e-7, R = 2e-4, W = 15, h = 1.5 (mm, s). On
// a ramp with the reference a-kinetics and W = 15: Λ = 0.615052 (barrier 2e-5 per mm² s, 1.5e6, T_p
// 1278.15 K, 1 K/h), 0.7767637 (sites 0.002, 12, 2; 0.5 K/h), 0.1190504 (the same at a hold of 9 K
// after a jump). Quadrature apart from this code. Cells of 0.1 mm, middle rule, the function kinked
// along two diagonals.
func TestSurvivalOfASquare(t *testing.T) {
	g := block(300, 300, 1, 0.1, 2)
	constant, _ := rate.NewTable([]float64{0}, []float64{1e-7 * 3600})
	a := kinetics.Power{RateAt10K: 2.8e-6 * 3600 * math.Pow(10, 1.9), Exponent: 1.9}
	flat := kinetics.Power{RateAt10K: 2e-4 * 3600, Exponent: 1e-9}
	hold := furnace.Programme{Knots: []furnace.Knot{{TimeH: 0, UndercoolingK: 0}, {TimeH: 0, UndercoolingK: 9},
		{TimeH: 60, UndercoolingK: 9}}}
	at10 := furnace.Programme{Knots: []furnace.Knot{{TimeH: 0, UndercoolingK: 0}, {TimeH: 0, UndercoolingK: 10},
		{TimeH: 60, UndercoolingK: 10}}}
	for _, c := range []struct {
		name        string
		law         rate.Law
		p           furnace.Programme
		grow        kinetics.Law
		from, slope float64
		want        float64
	}{
		{"constant rate", constant, at10, flat, 10, 0, 3.82725},
		{"barrier, 1 K/h", barrierOf(2e-5*3600, 1.5e6, 1278.15), ramp(1, 30), a, 0, 1, 0.615052},
		{"sites, 0.5 K/h", sitesOf(0.002, 12, 2), ramp(0.5, 60), a, 0, 0.5, 0.7767637},
		{"sites, hold", sitesOf(0.002, 12, 2), hold, a, 9, 0, 0.1190504},
		{"barrier, hold", barrierOf(2e-5*3600, 1.5e6, 1278.15), hold, a, 9, 0, 0.0003870947},
	} {
		lambda := func(m Model) float64 {
			odds := NewOdds(m, g, furnace.Cooling{Programme: c.p})
			total := 0.0
			for j := range 150 {
				for i := range 150 {
					x, y, _ := g.Centre(i, j, 0)
					need := math.Max(math.Abs(x), math.Abs(y)) - 1.5
					if need > 0 { // cells under the seed are never liquid
						total += 4 * expected(odds, i, j, 0, kinetics.Time(c.grow, c.from, c.slope, need))
					}
				}
			}
			return total
		}
		if got := lambda(Model{Melt: c.law}); !near(got, c.want, 5e-4) {
			t.Errorf("%s: Λ = %v, want %v", c.name, got, c.want)
		}
		if got := lambda(Model{Melt: more{c.law}}); near(got, c.want, 5e-4) {
			t.Errorf("%s: 0.2 %% more passes", c.name)
		}
	}
}

// more is a law 0.2 % too lively.
type more struct{ law rate.Law }

func (m more) Expected(from, to, hours, peak float64) float64 {
	return 1.002 * m.law.Expected(from, to, hours, peak)
}

func (m more) Intensity(undercoolingK, slopeKPerH float64) float64 {
	return 1.002 * m.law.Intensity(undercoolingK, slopeKPerH)
}
