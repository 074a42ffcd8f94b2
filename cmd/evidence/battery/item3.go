package battery

import (
	"fmt"
	"math"

	"github.com/sourcegraph/conc/iter"

	"onegrain/analysis/evidence"
	"onegrain/cmd/evidence/door"
)

// survival is item 3: the chance of a single grain, and the width of the grain when the first stray comes.
func survival() evidence.Item {
	return evidence.Item{
		Number: 3, Name: "Survival of the seeded grain, and its width at the first stray",
		Source: "Poisson void probability: exp(−Λ), Λ = ∫ I(ΔT) V_liquid dt with the liquid of the seeded grain alone (derivation; numbers by adaptive quadrature, confirmed by Monte Carlo). " +
			"Barrier law: Christian, Theory of Transformations ch. 10; sites law: Thévoz, Desbiolles & Rappaz 1989",
		Settles: "that the exact odds are those of the stated nucleation law in the liquid of the seeded grain, and that counted runs follow them, case by case and in time",
		Cannot:  "the constants of the nucleation law of a real melt, or whether its strays start in the melt or at a wall",
		Differences: []string{
			"The reference page estimates that counting cells makes an error of h/W in Λ (h the cell, W the half width). It is far smaller, of the order (h/W)² times the square of how steeply the hazard " +
				"rises: 0.5 % at most here with cells of 0.5 mm where the estimate says 5 %. The estimate is wrong, not the program, which agrees with the sum over cells to 2e-4.",
		},
		Check: func(d *door.Door, s evidence.Size) ([]evidence.Finding, error) {
			worked := workedOdds()
			parts := iter.Map(worked, func(w *worked3) each { return w.check(d, s) })
			parts = append(parts, closedOdds(d, s)...)
			parts = append(parts, dice(d, s))
			return together(parts)
		},
	}
}

// worked3 is a case with its Λ worked out elsewhere.
type worked3 struct {
	puck       string
	rate, from float64 // K/h, 0 = hold; K at its start
	lambda     float64
}

// programme of the case: from the peritectic, a jump where it starts deeper, then a ramp or a hold.
func (w worked3) programme() programme {
	var s []stage
	if w.from > 0 {
		s = append(s, stage{toK: w.from, rate: jump})
	}
	if w.rate == 0 {
		return programme{0, append(s, stage{hold: 60})}
	}
	return programme{0, append(s, stage{toK: 60, rate: w.rate})}
}

func workedOdds() []worked3 {
	return []worked3{
		{"square-a", 0.5, 0, 0.04476208}, {"square-a", 1, 0, 0.615052}, {"square-b", 0.5, 0, 0.7767637}, {"square-b", 0.2, 0, 0.1015111},
		{"square-b", 0, 9, 0.1190504}, {"square-a", 0, 9, 0.0003870947},
		{"prism-a", 0.3, 0, 1.07775}, {"prism-b", 0.3, 0, 0.2012139}, {"prism-a", 0.5, 0, 23.83435}, {"prism-a", 0.3, 8, 1.719405},
		{"disc-a", 0.3, 0, 0.846463}, {"disc-b", 0.3, 0, 0.158033}, {"disc-b", 0.5, 0, 1.051177},
		{"cube-a", 0.5, 0, 0.8603087}, {"drum-a", 0.5, 0, 0.4942014}, {"cube-b", 0.5, 0, 1.640209}, {"drum-b", 0.5, 0, 1.127881},
	}
}

func (w *worked3) check(d *door.Door, s evidence.Size) each {
	b := pucks()[w.puck]
	cell := evidence.Of(s, 0.25, 0.5)
	if b.flat() {
		cell = evidence.Of(s, 0.1, 0.25)
	}
	how := fmt.Sprintf("%v K/h from 0 K", w.rate)
	switch {
	case w.rate == 0:
		how = fmt.Sprintf("held at %v K", w.from)
	case w.from > 0:
		how = fmt.Sprintf("%v K/h from %v K", w.rate, w.from)
	}
	r, err := d.Run(fmt.Sprintf("odds-%s-%v-%v", w.puck, w.rate, w.from), b.study(cell, w.programme(), ""), "--odds-only")
	if err != nil {
		return each{nil, err}
	}
	lambda, err := odds(r)
	if err != nil {
		return each{nil, err}
	}
	return each{b.layers(cell, w.lambda, lambda, w.programme(), b.where+", "+how), nil}
}

// layers are the findings for Λ: in the limit of fine cells, and for a body of the cells that were taken.
func (b puck) layers(cell, want, found float64, p programme, where string) []evidence.Finding {
	const rounding = 2e-4
	cells := b.straysIn(cell, p)
	fine := evidence.Finding{
		Quantity: "Λ, strays expected before the first", Where: where, Source: "∫ I V_liquid dt of the body itself", Sample: fmt.Sprintf("1 run, no dice, cells of %v mm", cell),
		Because:    "1.5 times what a body of cells makes in theory, and 2e-4",
		Comparison: evidence.Comparison{Expected: want, Found: found, Tolerance: 1.5*math.Abs(cells-want) + rounding*want},
	}
	coarse := fine
	coarse.Quantity, coarse.Source = "the same", "∫ I V_liquid dt with cells counted at their centres"
	coarse.Because = "2e-4: linear between 1200 moments of a steep hazard"
	coarse.Comparison = evidence.Comparison{Expected: cells, Found: found, Tolerance: rounding * cells}
	const wrong = "nucleation rate +3 %"
	return []evidence.Finding{fine.Against(wrong, 1.03*want), coarse.Against(wrong, 1.03*cells)}
}

// closedOdds are the two cases with constant rates, which need no quadrature.
func closedOdds(d *door.Door, s evidence.Size) []each {
	const w, h, rate, growth, k = 15.0, seedMM / 2, 3.6e-4, 0.72, 1.35
	const l = w - h
	square := func(r float64) float64 { return 4 * rate / r * (w*w*l - (w*w*w-h*h*h)/3) }
	prism := func(r float64) float64 { return rate / r * (4*w*w*l/k*l - 4/k*(h*h*l*l/2+2*h*l*l*l/3+l*l*l*l/4)) }
	hold := programme{0, []stage{{toK: 10, rate: jump}, {hold: 30}}}
	law := linear{rate / 10, 10, true}
	one := func(name string, b puck, cell float64, want func(float64) float64) each {
		r, err := d.Run("odds-"+name, b.study(cell, hold, ""), "--odds-only")
		if err != nil {
			return each{nil, err}
		}
		lambda, err := odds(r)
		if err != nil {
			return each{nil, err}
		}
		return each{b.layers(cell, want(growth), lambda, hold, b.where), nil}
	}
	a, c := power{growth, 0}, power{growth / k, 0}
	return []each{
		one("constant-plane", puck{"square", w, 0, a, c, law, "2D from above, square of 30 mm, constant I and R", "steady"}, evidence.Of(s, 0.1, 0.25), square),
		one("constant-body", puck{"prism", w, l / k, a, c, law, "3D, block of 30 × 30 × 10 mm, constant I and R", "steady"}, evidence.Of(s, 0.25, 0.5), prism),
	}
}
