package battery

import (
	"fmt"
	"math"
)

// survival is item 3: the chance of a single grain, and the width of the grain when the first stray
// comes.
func survival(on *bench) {
	worked := func(on *bench) { gather(on, workedOdds(), worked3.check) }
	parts(on, worked, closedOdds, dice)
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
		{"square-a", 0.5, 0, 0.04476208}, {"square-a", 1, 0, 0.615052}, {"square-b", 0.5, 0, 0.7767637},
		{"square-b", 0.2, 0, 0.1015111},
		{"square-b", 0, 9, 0.1190504}, {"square-a", 0, 9, 0.0003870947},
		{"prism-a", 0.3, 0, 1.07775}, {"prism-b", 0.3, 0, 0.2012139}, {"prism-a", 0.5, 0, 23.83435},
		{"prism-a", 0.3, 8, 1.719405},
		{"disc-a", 0.3, 0, 0.846463}, {"disc-b", 0.3, 0, 0.158033}, {"disc-b", 0.5, 0, 1.051177},
		{"cube-a", 0.5, 0, 0.8603087}, {"drum-a", 0.5, 0, 0.4942014}, {"cube-b", 0.5, 0, 1.640209},
		{"drum-b", 0.5, 0, 1.127881},
	}
}

func (w worked3) check(on *bench) {
	b := pucks()[w.puck]
	how := fmt.Sprintf("%v K/h from 0 K", w.rate)
	switch {
	case w.rate == 0:
		how = fmt.Sprintf("held at %v K", w.from)
	case w.from > 0:
		how = fmt.Sprintf("%v K/h from %v K", w.rate, w.from)
	}
	b.odds(on, fmt.Sprintf("%s-%v-%v", w.puck, w.rate, w.from), w.lambda, w.programme(), b.where+", "+how)
}

// odds are the findings for Λ: in the limit of fine cells, and for a body of the cells that were
// taken.
func (b puck) odds(on *bench, name string, want float64, p programme, where string) {
	const rounding = 2e-4
	cell := of(on.short, 0.25, 0.5)
	if b.flat() {
		cell = of(on.short, 0.1, 0.25)
	}
	found := on.Run("odds-"+name, b.study(cell, p).text(), "--odds-only").Numbers("cases", "expected_strays_exact")[0][0]
	cells, with := b.straysIn(cell, p), values{"where": where, "cell": cell}
	on.against("odds", with, want, found, 1.5*math.Abs(cells-want)+rounding*want, 1.03*want)
	on.against("odds-cells", with, cells, found, rounding*cells, 1.03*cells)
}

// closedOdds are the two cases with constant rates, which need no quadrature.
func closedOdds(on *bench) {
	const w, h, rate, growth, k = 15.0, seedMM / 2, 3.6e-4, 0.72, 1.35
	const l = w - h
	square := 4 * rate / growth * (w*w*l - (w*w*w-h*h*h)/3)
	prism := rate / growth * (4*w*w*l/k*l - 4/k*(h*h*l*l/2+2*h*l*l*l/3+l*l*l*l/4))
	hold := programme{0, []stage{{toK: 10, rate: jump}, {hold: 30}}}
	law, a, c := linear{rate / 10, 10, true}, power{growth, 0}, power{growth / k, 0}
	plane := puck{"square", w, 0, a, c, law, "2D from above, square of 30 mm, constant I and R", "steady"}
	body := puck{"prism", w, l / k, a, c, law, "3D, block of 30 × 30 × 10 mm, constant I and R", "steady"}
	plane.odds(on, "constant-plane", square, hold, plane.where)
	body.odds(on, "constant-body", prism, hold, body.where)
}
