package analysis

import (
	"fmt"
	"math"
	"testing"

	"onegrain/analysis/tally"
	"onegrain/studies/column"
	"onegrain/studies/table"
)

// made is a results folder with a known truth: cooling rate × start undercooling, Λ =
// (rate/0.5)⁴·(start/10)²·0.0513, seeds placed with 2° of scatter, `seeds` of them in a row.
type made struct {
	study      string
	rates      []float64
	starts     []float64
	replicates int
	seeds      int
	part       int // runs in a part
	failed     int // every n-th run fails; 0 for none
	noCases    bool
	twice      bool // the first part is told again under another cut
}

const plainStudy = `title = "Made"
[random]
pairing = "independent"
[domain]
join_deg = 4
[[seed_array]]
kind = "row"
turn_sd_deg = 0
[[vary]]
key = "schedule.stage.4.rate_K_per_h"
`

func (m *made) strays(rate, start float64) float64 {
	return 0.0513 * math.Pow(rate/0.5, 4) * math.Pow(start/10, 2)
}

func must[T any](t testing.TB) func(T, error) T {
	return func(x T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
}

func (m *made) folder(t testing.TB) *table.Folder {
	t.Helper()
	f := must[*table.Folder](t)(table.Create(t.TempDir()+"/results", []byte(m.study), func([]byte) string { return "" },
		table.Provenance{}))
	w := &writer{t: t, m: m, f: f, frames: map[string]*table.Frame{}, r: tally.Stream("made")}
	cases := w.frame("cases")
	for _, rate := range m.rates {
		for _, start := range m.starts {
			hits := 0
			id := fmt.Sprintf("%g-%g", rate, start)
			lambda := m.strays(rate, start)
			for k := range m.replicates {
				hits += w.run(id, k+1, rate, start, lambda)
			}
			n := float64(m.replicates)
			row := []any{id, rate, start, m.replicates, hits, float64(hits) / n, 0.0, 1.0, math.Exp(-lambda), lambda,
				20.0 - rate, 15.0, 22.0, 50.0, 60.0 / rate, "replicates"}
			row = append(row, make([]any, len(cases.Schema.Columns)-len(row))...) // the rest is empty
			if err := cases.Append(row...); err != nil {
				t.Fatal(err)
			}
		}
	}
	w.flush()
	if !m.noCases {
		if err := f.Put(cases); err != nil {
			t.Fatal(err)
		}
	}
	return f
}

// writer makes the rows of the runs.
type writer struct {
	t      testing.TB
	m      *made
	f      *table.Folder
	frames map[string]*table.Frame
	r      interface {
		Float64() float64
		NormFloat64() float64
	}
	runs int
}

func (w *writer) frame(name string) *table.Frame {
	cols := []column.Column{{Name: "cooling_rate_K_per_h", Kind: column.Real, Unit: "K/h"},
		{Name: "start_undercooling_K", Kind: column.Real, Unit: "K"}}
	return table.NewFrame(must[column.Schema](w.t)(column.Of(name, cols)))
}

func (w *writer) row(name string, values ...any) {
	if w.frames[name] == nil {
		w.frames[name] = w.frame(name)
	}
	if err := w.frames[name].Append(values...); err != nil {
		w.t.Fatal(err)
	}
}

func (w *writer) flush() {
	for _, name := range []string{"grains", "boundaries", "runs"} {
		if rows := w.frames[name]; rows != nil {
			must[string](w.t)(w.f.Add(rows))
			if w.m.twice { // the same rows again, in two parts
				for k := range 2 {
					var some []int
					for r := range rows.Len() {
						if r*2/rows.Len() == k {
							some = append(some, r)
						}
					}
					if name == "runs" {
						must[string](w.t)(w.f.Add(rows.Pick(some)))
					}
				}
			}
		}
	}
	clear(w.frames)
}

// run adds a run and tells whether it was a single grain. Seeds differ by the scatter of their
// turns.
func (w *writer) run(id string, replicate int, rate, start, lambda float64) int {
	w.runs++
	if w.m.failed > 0 && w.runs%w.m.failed == 0 {
		w.row("runs", id, replicate, rate, start, "failed", nil, nil, nil, nil, nil, nil, nil, nil, nil, nil, nil, nil, nil,
			nil)
		return 0
	}
	stray := w.r.Float64() > math.Exp(-lambda)
	turns := make([]float64, w.m.seeds)
	domain := 1
	for g := range turns {
		turns[g] = 2 * w.r.NormFloat64()
		if g > 0 {
			angle := math.Abs(turns[g] - turns[g-1])
			if angle > 4 {
				domain++
			}
			w.row("boundaries", id, replicate, g, g+1, 8.0, angle, angle/2, angle <= 4)
		}
		w.row("grains", id, replicate, g+1, "seed", 1.0, 2.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 100.0, 1.0, 1.0, 1.0, 1.0,
			1.0, 1.0, 0.0, domain)
	}
	n, at := 0, any(nil)
	if stray {
		n, at = 1, any(start+3)
		w.row("grains", id, replicate, w.m.seeds+1, "melt", 1.0, 2.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 10.0, 1.0, 1.0, 1.0,
			1.0, 1.0, 1.0, 0.0, nil)
		w.row("boundaries", id, replicate, 1, w.m.seeds+1, 2.0, 40.0, 20.0, false)
	}
	w.row("runs", id, replicate, rate, start, "solid", !stray, 20.0-rate, 10.0, 5.0, 1.0, n, 0.1, nil, at, nil, 40.0, 0.5,
		0.5, 0.36)
	if w.runs%w.m.part == 0 {
		w.flush()
	}
	if stray {
		return 0
	}
	return 1
}
