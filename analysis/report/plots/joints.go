package plots

import (
	"fmt"
	"slices"

	"onegrain/analysis"
	"onegrain/analysis/chart/graph"
	"onegrain/analysis/joints"
	"onegrain/analysis/tally"
)

// joined are the distributions over the runs with several seeds.
func joined(f *analysis.Findings) []Plot {
	s := f.Scatter
	if s == nil || s.All.Runs < 2 {
		return nil
	}
	limit := []graph.Mark{{At: f.JoinDeg, Text: "grains join up to"}}
	worst := samples(f, func(p joints.Placing) tally.Spread { return p.WorstDeg })
	largest := samples(f, func(p joints.Placing) tally.Spread { return p.Largest })
	var out []Plot
	if len(worst) > 0 {
		d := graph.Distribution{Title: "Worst boundary between seeded grains", X: graph.Axis{Name: "Disorientation of the worst boundary of a run", Unit: "°"}, Samples: worst, Marks: limit}
		out = append(out, Plot{Name: "worst-boundary", Section: "joints", Draw: d.Draw,
			Caption: "In which share of the runs the worst boundary between seeded grains stays below an angle."})
	}
	if len(largest) > 0 {
		d := graph.Distribution{Title: "Largest domain", X: graph.Axis{Name: "Share of the solid body in the largest domain"}, Samples: largest}
		out = append(out, Plot{Name: "largest-domain", Section: "joints", Draw: d.Draw,
			Caption: "In which share of the runs the largest domain holds no more than a share of the body; 1 is all of it."})
	}
	return out
}

// mostCompared cases are shown one by one, or some of them evenly; of more all runs are shown together.
const mostCompared = 24

// fewest values make a distribution.
const fewest = 5

// evenly are at most mostLines of the cases, in the order of the study.
func evenly(cases []joints.Placing) []joints.Placing {
	ordered := slices.Clone(cases)
	slices.SortStableFunc(ordered, func(a, b joints.Placing) int { return a.Case - b.Case })
	if len(ordered) <= mostLines {
		return ordered
	}
	var some []joints.Placing
	for k := range mostLines {
		some = append(some, ordered[k*(len(ordered)-1)/(mostLines-1)])
	}
	return some
}

// samples are the values of some cases, or those of all runs.
func samples(f *analysis.Findings, of func(joints.Placing) tally.Spread) (all []graph.Sample) {
	s := f.Scatter
	if n := len(s.Cases); n >= 2 && n <= mostCompared {
		for _, p := range evenly(s.Cases) {
			if v := of(p).Sample; len(v) >= fewest {
				all = append(all, graph.Sample{Name: caseName(f, p.Case), Values: v})
			}
		}
		return all
	}
	if v := of(s.All).Sample; len(v) >= fewest {
		all = append(all, graph.Sample{Name: fmt.Sprintf("all %d runs", s.All.Runs), Values: v})
	}
	return all
}

func caseName(f *analysis.Findings, i int) string {
	if i >= 0 && i < len(f.PerCase) {
		if name := setting(f.PerCase[i].Settings, f.Axes); name != "" {
			return name
		}
	}
	return fmt.Sprintf("case %d", i+1)
}
