package plots

import (
	"fmt"
	"slices"
	"sort"

	"onegrain/analysis"
	"onegrain/analysis/chart/graph"
)

// mostCompared cases are shown one by one, or some of them evenly; of more all runs are shown
// together.
const mostCompared = 24

// fewest values make a distribution.
const fewest = 5

// joined are the distributions over the runs with several seeds, of some cases or of all runs.
func joined(f *analysis.Findings) (out []Plot) {
	if f.Scatter == nil || f.Scatter.All.Runs < 2 {
		return nil
	}
	cases := slices.Clone(f.Scatter.Cases)
	sort.SliceStable(cases, func(i, j int) bool { return cases[i].Case < cases[j].Case })
	single := len(cases) >= 2 && len(cases) <= mostCompared
	if cases = evenly(cases, mostLines); !single {
		cases = append(cases[:0], f.Scatter.All)
	}
	charts := []graph.Distribution{
		{Title: "Worst boundary between seeded grains",
			X:     graph.Axis{Name: "Disorientation of the worst boundary of a run", Unit: "°"},
			Marks: []graph.Mark{{At: f.JoinDeg, Text: "grains join up to"}}},
		{Title: "Largest domain", X: graph.Axis{Name: "Share of the solid body in the largest domain"}},
	}
	for _, p := range cases {
		name := fmt.Sprintf("all %d runs", p.Runs)
		if single {
			name = caseName(f, p.Case)
		}
		for i, s := range [][]float64{p.WorstDeg.Sample, p.Largest.Sample} {
			if len(s) >= fewest {
				charts[i].Samples = append(charts[i].Samples, graph.Sample{Name: name, Values: s})
			}
		}
	}
	for i, text := range [][2]string{
		{"worst-boundary", "In which share of the runs the worst boundary between seeded grains stays below an angle."},
		{"largest-domain", "In which share of the runs the largest domain holds no more than a share of the body; " +
			"1 is all of it."},
	} {
		if len(charts[i].Samples) > 0 {
			out = append(out, Plot{Name: text[0], Section: "joints", Draw: charts[i].Draw, Caption: text[1]})
		}
	}
	return out
}

func caseName(f *analysis.Findings, i int) string {
	if i >= 0 && i < len(f.PerCase) {
		if name := setting(f.PerCase[i].Settings, f.Axes); name != "" {
			return name
		}
	}
	return fmt.Sprintf("case %d", i+1)
}
