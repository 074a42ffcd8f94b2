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
func joined(f *analysis.Findings) (out []Plot) {
	if f.Scatter == nil || f.Scatter.All.Runs < 2 {
		return nil
	}
	worst := graph.Distribution{Title: "Worst boundary between seeded grains",
		X:       graph.Axis{Name: "Disorientation of the worst boundary of a run", Unit: "°"},
		Samples: samples(f, func(p joints.Placing) tally.Spread { return p.WorstDeg }),
		Marks:   []graph.Mark{{At: f.JoinDeg, Text: "grains join up to"}}}
	largest := graph.Distribution{Title: "Largest domain",
		X:       graph.Axis{Name: "Share of the solid body in the largest domain"},
		Samples: samples(f, func(p joints.Placing) tally.Spread { return p.Largest })}
	if len(worst.Samples) > 0 {
		out = append(out, Plot{Name: "worst-boundary", Section: "joints", Draw: worst.Draw,
			Caption: "In which share of the runs the worst boundary between seeded grains stays below an angle."})
	}
	if len(largest.Samples) > 0 {
		out = append(out, Plot{Name: "largest-domain", Section: "joints", Draw: largest.Draw,
			Caption: "In which share of the runs the largest domain holds no more than a share of the body; 1 is all of it."})
	}
	return out
}

// mostCompared cases are shown one by one, or some of them evenly; of more all runs are shown
// together.
const mostCompared = 24

// fewest values make a distribution.
const fewest = 5

// samples are the values of some cases, or those of all runs.
func samples(f *analysis.Findings, of func(joints.Placing) tally.Spread) (all []graph.Sample) {
	cases := slices.Clone(f.Scatter.Cases)
	slices.SortStableFunc(cases, func(a, b joints.Placing) int { return a.Case - b.Case })
	single := len(cases) >= 2 && len(cases) <= mostCompared
	if cases = evenly(cases, mostLines); !single {
		cases = []joints.Placing{f.Scatter.All}
	}
	for _, p := range cases {
		name := fmt.Sprintf("all %d runs", p.Runs)
		if single {
			name = caseName(f, p.Case)
		}
		if v := of(p).Sample; len(v) >= fewest {
			all = append(all, graph.Sample{Name: name, Values: v})
		}
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
