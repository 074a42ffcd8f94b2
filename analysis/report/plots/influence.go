package plots

import (
	"math"

	"onegrain/analysis"
	"onegrain/analysis/chart/graph"
	"onegrain/analysis/influence"
	"onegrain/analysis/tally"
)

// inputs are bars of what matters, one chart for each result of a design that was made for it.
func inputs(f *analysis.Findings) (all []Plot) {
	if !Sampled(f.Design) {
		return nil
	}
	for i, r := range f.Influence {
		if r.Cases < 4 || len(r.Inputs) < 2 {
			continue
		}
		b := graph.Bars{Title: "What matters for the " + r.Result, From: -1, To: 1}
		if r.Inputs[0].Total != nil {
			b.X, b.From, b.To = graph.Axis{Name: "Share of the variance"}, 0, 1
			first, total := graph.Line{Name: "alone (first order)"}, graph.Line{Name: "with all that it does together with others (total)"}
			for _, w := range r.Inputs {
				b.Names = append(b.Names, w.Label)
				first.Points = append(first.Points, share(w.First, w.FirstInterval))
				total.Points = append(total.Points, share(w.Total, w.TotalInterval))
			}
			b.Sets = []graph.Line{first, total}
		} else {
			b.X = graph.Axis{Name: "Rank correlation"}
			rank := graph.Line{Name: "rank correlation, with 95 % interval"}
			for _, w := range r.Inputs {
				b.Names = append(b.Names, w.Label)
				rank.Points = append(rank.Points, share(&w.Rank, &w.RankInterval))
			}
			b.Sets = []graph.Line{rank}
		}
		all = append(all, Plot{Name: "influence-" + string(rune('a'+i)), Section: "influence", Draw: b.Draw, Caption: captionOf(r)})
	}
	return all
}

// Sampled tells whether a design spreads its cases so that one can say which input matters.
func Sampled(design string) bool {
	return design == "latin" || design == "sobol" || design == "saltelli"
}

func captionOf(r influence.Ranking) string {
	if r.Inputs[0].Total != nil {
		return "Which share of the variance of the " + r.Result + " goes back to each input, with 95 % intervals."
	}
	return "How strongly the " + r.Result + " rises (right) or falls (left) with each input, with 95 % intervals."
}

func share(x *tally.Real, i *tally.Interval) graph.Point {
	p := graph.Point{Y: math.NaN(), Low: math.NaN(), High: math.NaN()}
	if x != nil {
		p.Y = float64(*x)
	}
	if i != nil && i.Low.Known() && i.High.Known() && i.Low <= i.High {
		p.Low, p.High = float64(i.Low), float64(i.High)
	}
	return p
}
