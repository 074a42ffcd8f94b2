package battery

import (
	"fmt"
	"math"
	"slices"

	"github.com/sourcegraph/conc/iter"
	"gonum.org/v1/gonum/stat/distuv"
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

// thrown is a study of one body and law at several cooling rates, chosen so that the chances lie
// between 0.1 and 0.9.
type thrown struct {
	puck  string
	rates []float64 // K/h from the peritectic on
	runs  int
	cell  float64
}

// counted is one case: runs, those without a stray, the odds that the program gives, and when first
// strays came.
type counted struct {
	body       puck
	p          programme
	n, k       float64
	chance     float64
	bornH      []float64 // first strays
	widthMM    []float64 // of the seeded grain then
	sum        integral  // Λ(t) in theory
	mostWidth  float64   // mm, of the body
	sidesDoneH float64   // when the seeded grain has that width
}

func throws(short size) []thrown {
	plane, body := of(short, 300, 40), of(short, 160, 24)
	fine, coarse := of(short, 0.25, 0.5), of(short, 0.5, 1.0)
	return []thrown{
		{puck: "square-a", rates: []float64{0.6, 0.8, 0.95, 1.1, 1.25, 1.5}, runs: plane, cell: fine},
		{puck: "square-b", rates: []float64{0.2, 0.28, 0.36, 0.5, 0.65, 0.9}, runs: plane, cell: fine},
		{puck: "round-a", rates: []float64{0.65, 0.85, 1, 1.2, 1.4, 1.6}, runs: plane, cell: fine},
		{puck: "section-b", rates: []float64{0.2, 0.3, 0.4, 0.5, 0.65, 0.9}, runs: plane, cell: fine},
		{puck: "cube-a", rates: []float64{0.36, 0.4, 0.45, 0.5, 0.55, 0.6}, runs: body, cell: coarse},
		{puck: "cube-b", rates: []float64{0.18, 0.22, 0.27, 0.33, 0.4, 0.5}, runs: body, cell: coarse},
		{puck: "disc-a", rates: []float64{0.25, 0.27, 0.29, 0.31, 0.33, 0.35}, runs: body, cell: coarse},
		{puck: "drum-b", rates: []float64{0.2, 0.25, 0.3, 0.37, 0.45, 0.55}, runs: body, cell: coarse},
	}
}

// dice counts runs and compares them with the odds, all cases together.
func dice(on *bench) {
	every := iter.Mapper[thrown, []counted]{MaxGoroutines: len(throws(on.short))}
	cases := slices.Concat(every.Map(throws(on.short), func(t *thrown) []counted { return t.throw(on) })...)
	chances(on, cases)
	firsts(on, cases)
}

func (t *thrown) throw(on *bench) (cases []counted) {
	b := pucks()[t.puck]
	p := func(rate float64) programme { return programme{0, []stage{{toK: 60, rate: rate}}} }
	s := b.study(t.cell, p(1))
	s.seed, s.runs, s.independent, s.vary = 3, t.runs, true, []string{vary("schedule.stage.1.rate_K_per_h", t.rates)}
	r := on.Run("dice-"+t.puck, s.text())
	counts := r.Numbers("cases", "rate_K_per_h", "runs", "single_grain_runs", "single_grain_probability_exact")
	runs := r.Numbers("runs", "rate_K_per_h", "first_stray_h", "grain_width_at_first_stray_mm")
	for _, rate := range t.rates {
		i := slices.Index(counts[0], rate)
		c := counted{body: b, p: p(rate), n: counts[1][i], k: counts[2][i], chance: counts[3][i], mostWidth: 2 * b.half}
		c.sum, c.sidesDoneH = b.strays(c.p), hours(b.a, c.p, b.half-seedMM/2)
		for row, at := range runs[0] {
			if at == rate && !math.IsNaN(runs[1][row]) {
				c.bornH, c.widthMM = append(c.bornH, runs[1][row]), append(c.widthMM, runs[2][row])
			}
		}
		cases = append(cases, c)
	}
	return cases
}

// chances are the counted shares against the odds: chi-squared over the cases of a kind.
func chances(on *bench, cases []counted) {
	by := of(on.short, 1.2, 1.5)
	given := func(c counted, by float64) float64 { return math.Pow(c.chance, by) }
	theory := func(c counted, by float64) float64 { return math.Exp(-by * c.sum.total()) }
	const own, quadrature = "the program's own exact odds", "exp(−Λ), quadrature"
	for _, q := range []struct {
		kind, laws, source string
		chance             func(counted, float64) float64
	}{{"barrier", "barrier law", own, given}, {"sites", "sites law", own, given},
		{"", "both laws", own, given}, {"", "both laws", quadrature, theory}} {
		var n, chi, off, runs float64
		for _, c := range cases {
			if q.kind != "" && c.body.kind != q.kind {
				continue
			}
			n, runs = n+1, runs+c.n
			chi, off = chi+square(c, q.chance(c, 1)), off+square(c, q.chance(c, by))
		}
		limit := distuv.ChiSquared{K: n}.Quantile(0.9999)
		with := values{"cases": n, "laws": q.laws, "source": q.source, "runs": runs, "percent": 100 * (by - 1)}
		on.instead("singles", with, n, chi, limit-n, off)
	}
}

// square is the case's part of χ².
func square(c counted, p float64) float64 {
	d := c.k - c.n*p
	return d * d / (c.n * p * (1 - p))
}

// firsts are when first strays come and how wide the seeded grain is then. The chance of a first
// stray before t, given that one comes, is uniform between 0 and 1, whatever the case: so all cases
// can be judged as one sample (Kolmogorov & Smirnov).
func firsts(on *bench, cases []counted) {
	by := of(on.short, 1.1, 1.2)
	given := func(sum integral, t, until float64) float64 {
		return -math.Expm1(-sum.at(t)) / -math.Expm1(-sum.at(until))
	}
	var hoursOf, widthOf, hoursOff, widthOff []float64
	for _, c := range cases {
		wrong := c.body
		wrong.a, wrong.c = faster{c.body.a, by}, faster{c.body.c, by}
		off := wrong.strays(c.p)
		for i, t := range c.bornH {
			hoursOf, hoursOff = append(hoursOf, given(c.sum, t, math.Inf(1))), append(hoursOff, given(off, t, math.Inf(1)))
			if w := c.widthMM[i]; w < c.mostWidth*(1-1e-9) {
				reach := (w - seedMM) / 2
				widthOf = append(widthOf, given(c.sum, hours(c.body.a, c.p, reach), c.sidesDoneH))
				widthOff = append(widthOff, given(off, hours(wrong.a, c.p, reach), hours(wrong.a, c.p, c.body.half-seedMM/2)))
			}
		}
	}
	one := func(what, where string, u, wrong []float64) {
		root := math.Sqrt(float64(len(u)))
		same := func(x float64) float64 { return x }
		with := values{"what": what, "where": where, "strays": len(u), "percent": 100 * (by - 1)}
		on.instead("first", with, 0, distance(u, same)/root, 2.23/root, distance(wrong, same)/
			math.Sqrt(float64(len(wrong))))
	}
	one("time of the first stray", "2D and 3D, both laws", hoursOf, hoursOff)
	one("width of the grain at the first stray", "strays before the sides are reached", widthOf, widthOff)
}
