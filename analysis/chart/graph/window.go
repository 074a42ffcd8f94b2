package graph

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/tint"
)

// Cell is one case of a window.
type Cell struct {
	X, Y       float64
	Exact      float64 // chance of a single grain by the exact odds, 0 to 1; NaN where not computed
	Hits, Runs int     // counted single grains, of how many runs; Runs = 0 where none was counted
	Low, High  float64 // 95 % interval of the counted fraction; not read where Runs = 0
	Failed     bool    // the case has no result
}

// Window shows the chance of a single grain over two axes. Cases on a grid become cells at equal distances, with the exact chance,
// the counted runs, and a strip from 0 to 1 on which the counted fraction stands with its interval beside the exact chance; other
// designs become dots at their places.
type Window struct {
	Title, Note string
	X, Y        Axis
	Cells       []Cell
	Wanted      float64        // chance whose contour is drawn, such as 0.95; 0 for none
	Contour     [][][2]float64 // that contour in values of X and Y; nil: found between the cells
	Interval    [][][2]float64 // its interval, drawn dashed; nil for none
}

// Draw writes the chart and returns its text alternative; the error names a faulty value, or is that of w.
func (n Window) Draw(w io.Writer, format paper.Format) (alt string, err error) {
	if err := n.check("Window"); err != nil {
		return "", err
	}
	letters, err := paper.NewLetters()
	if err != nil {
		return "", err
	}
	s := &sheet{title: n.Title, note: n.Note, words: n.nothing()}
	if s.words == "" {
		xs, ys := n.values()
		m := n.matrix(xs, ys)
		m.room = [2]float64{sheetWidth - 90, math.Max(56, math.Min(380, 46*float64(len(ys))))}
		if m.dots {
			m.room[1] = 300
		}
		s.panes = []*pane{m.pane(letters)}
		s.bar, s.legend = n.scale(), m.entries()
		s.alt, s.remarks = n.seen(), n.remarks()
	}
	return s.write(w, format, letters)
}

func (n Window) check(field string) error {
	if err := n.X.check(field + ".X"); err != nil {
		return err
	}
	if err := n.Y.check(field + ".Y"); err != nil {
		return err
	}
	if !(n.Wanted >= 0 && n.Wanted < 1) {
		return fmt.Errorf("graph: %s.Wanted = %v: wanted a chance below 1, or 0 for none", field, n.Wanted)
	}
	for i, c := range n.Cells {
		if !finite(c.X) || !finite(c.Y) {
			return fmt.Errorf("graph: %s.Cells[%d] stands at %v, %v: wanted finite numbers", field, i, c.X, c.Y)
		}
		if c.Exact < 0 || c.Exact > 1 {
			return fmt.Errorf("graph: %s.Cells[%d].Exact = %v: wanted a chance, 0 to 1, or NaN", field, i, c.Exact)
		}
		if c.Runs < 0 || c.Hits < 0 || c.Hits > c.Runs {
			return fmt.Errorf("graph: %s.Cells[%d] counts %d of %d runs: wanted 0 ≤ Hits ≤ Runs", field, i, c.Hits, c.Runs)
		}
		if c.Runs > 0 && !(c.Low >= 0 && c.Low <= c.High && c.High <= 1) {
			return fmt.Errorf("graph: %s.Cells[%d] has the interval %v to %v: wanted 0 ≤ Low ≤ High ≤ 1", field, i, c.Low, c.High)
		}
	}
	return nil
}

// chance is the exact chance, or the counted fraction where that is all there is; NaN where nothing is known.
func (c Cell) chance() float64 {
	switch {
	case c.Failed:
		return math.NaN()
	case !math.IsNaN(c.Exact):
		return c.Exact
	case c.Runs > 0:
		return float64(c.Hits) / float64(c.Runs)
	}
	return math.NaN()
}

// apart tells whether the exact chance lies outside the interval of the counted one.
func (c Cell) apart() bool {
	return !c.Failed && !math.IsNaN(c.Exact) && c.Runs > 0 && (c.Exact < c.Low || c.Exact > c.High)
}

// tally counts the cells by what is known of them.
func (n Window) tally() (known, failed, reached, apart, both int) {
	for _, c := range n.Cells {
		p := c.chance()
		switch {
		case c.Failed:
			failed++
		case !math.IsNaN(p):
			known++
			if p >= n.Wanted {
				reached++
			}
		}
		if c.apart() {
			apart++
		}
		if !c.Failed && !math.IsNaN(c.Exact) && c.Runs > 0 {
			both++
		}
	}
	return known, failed, reached, apart, both
}

// nothing tells in words why there is no chart; empty where there is one.
func (n Window) nothing() string {
	known, failed, _, _, _ := n.tally()
	switch {
	case known > 0:
		return ""
	case failed > 0 && failed == len(n.Cells):
		return all(failed, "case") + " failed: no chance is known."
	case failed > 0:
		return fmt.Sprintf("%s of %d failed and the others have no result yet: no chance is known.", count(failed, "case"), len(n.Cells))
	}
	return "No case has a result: there is no chance to show."
}

// values are the different values of both axes, ascending.
func (n Window) values() (xs, ys []float64) {
	for _, c := range n.Cells {
		xs, ys = append(xs, c.X), append(ys, c.Y)
	}
	slices.Sort(xs)
	slices.Sort(ys)
	return slices.Compact(xs), slices.Compact(ys)
}

func (n Window) scale() *bar {
	b := &bar{title: "Chance of a single grain", low: 0, high: 1, marks: []float64{0, 0.2, 0.4, 0.6, 0.8, 1}, decimals: 1, ramp: tint.Chance, wanted: math.NaN()}
	if n.Wanted > 0 {
		b.wanted = n.Wanted
		b.title += fmt.Sprintf(" (wedge: the wanted %s %%)", percent(n.Wanted))
	}
	return b
}

// percent writes a share in hundredths, with as many digits as it has.
func percent(share float64) string {
	return strconv.FormatFloat(math.Round(1e8*share)/1e6, 'f', -1, 64)
}

func (n Window) remarks() (list []string) {
	known, failed, reached, apart, both := n.tally()
	switch {
	case known == 1:
		list = append(list, "One case only: nothing is known of what lies around it.")
	case n.Wanted > 0 && reached == known:
		list = append(list, fmt.Sprintf("Every case reaches %s %%: the edge of the window lies outside what was computed.", percent(n.Wanted)))
	case n.Wanted > 0 && reached == 0:
		list = append(list, fmt.Sprintf("No case reaches %s %%.", percent(n.Wanted)))
	}
	if failed > 0 {
		list = append(list, capital(count(failed, "case"))+" failed.")
	}
	if expected := 0.05 * float64(both); apart > 0 {
		list = append(list, fmt.Sprintf("The exact chance lies outside the 95 %% interval of the counted one in %s of %d; about %s is expected by chance.", count(apart, "case"), both, short(math.Round(10*expected)/10)))
	}
	return list
}

// seen says how the chance is spread.
func (n Window) seen() string {
	known, _, reached, _, _ := n.tally()
	xs, ys := n.values()
	var low, high *Cell
	for i := range n.Cells {
		c := &n.Cells[i]
		if p := c.chance(); !math.IsNaN(p) {
			if low == nil || p < low.chance() {
				low = c
			}
			if high == nil || p > high.chance() {
				high = c
			}
		}
	}
	text := fmt.Sprintf("Chance of a single grain over %s (%s to %s) and %s (%s to %s) in %s: ", n.X.lower(), n.X.value(xs[0]), n.X.of(xs[len(xs)-1]),
		n.Y.lower(), n.Y.value(ys[0]), n.Y.of(ys[len(ys)-1]), count(known, "case"))
	place := func(c *Cell) string {
		return fmt.Sprintf("%s %% at %s and %s", chanceText(c.chance()), n.X.of(c.X), n.Y.of(c.Y))
	}
	if known == 1 || low.chance() == high.chance() {
		return text + fmt.Sprintf("%s %%.", chanceText(high.chance()))
	}
	text += fmt.Sprintf("highest %s, lowest %s.", place(high), place(low))
	if n.Wanted > 0 {
		text += fmt.Sprintf(" It is at least %s %% in %d of them.", percent(n.Wanted), reached)
	}
	return text
}

// chanceText writes a chance in hundredths and never rounds one that is not certain to 0 or 100.
func chanceText(p float64) string {
	switch {
	case p > 0 && p < 1e-3:
		return "below 0.1"
	case p < 1 && p > 0.999:
		return "above 99.9"
	}
	return short(math.Round(1000*p) / 10)
}
