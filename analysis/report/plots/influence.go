package plots

import (
	"math"
	"slices"

	"onegrain/analysis"
	"onegrain/analysis/chart/graph"
	"onegrain/analysis/tally"
)

// inputs are bars of what matters, one chart for each result of a design that was made for it.
func inputs(f *analysis.Findings) (all []Plot) {
	sampled := slices.Contains([]string{"latin", "sobol", "saltelli"}, f.Design)
	for i, r := range f.Influence {
		if !sampled || r.Cases < 4 || len(r.Inputs) < 2 {
			continue
		}
		b := graph.Bars{Title: "What matters for the " + r.Result, From: -1, To: 1,
			X: graph.Axis{Name: "Rank correlation"}, Sets: []graph.Line{{Name: "rank correlation, with 95 % interval"}}}
		caption := "How strongly the " + r.Result + " rises (right) or falls (left) with each input, with 95 % intervals."
		shares := r.Inputs[0].Total != nil
		if shares {
			b.X, b.From = graph.Axis{Name: "Share of the variance"}, 0
			b.Sets = []graph.Line{{Name: "alone (first order)"},
				{Name: "with all that it does together with others (total)"}}
			caption = "Which share of the variance of the " + r.Result + " comes from each input, with 95 % intervals."
		}
		for _, w := range r.Inputs {
			b.Names = append(b.Names, w.Label)
			if shares {
				b.Sets[0].Points = append(b.Sets[0].Points, share(w.First, w.FirstInterval))
				b.Sets[1].Points = append(b.Sets[1].Points, share(w.Total, w.TotalInterval))
			} else {
				b.Sets[0].Points = append(b.Sets[0].Points, share(&w.Rank, &w.RankInterval))
			}
		}
		name := "influence-" + string(rune('a'+i))
		all = append(all, Plot{Name: name, Section: "influence", Draw: b.Draw, Caption: caption})
	}
	return all
}

// share is a bar with its interval, as far as they are known.
func share(x *tally.Real, i *tally.Interval) graph.Point {
	p := graph.Point{Y: math.NaN(), Low: math.NaN(), High: math.NaN()}
	if x != nil {
		p.Y = float64(*x)
	}
	if i != nil && i.Low <= i.High {
		p.Low, p.High = float64(i.Low), float64(i.High)
	}
	return p
}
