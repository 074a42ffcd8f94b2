package plots

import (
	"fmt"
	"io"
	"math"

	"onegrain/analysis"
	"onegrain/analysis/chart/graph"
	"onegrain/analysis/chart/paper"
	"onegrain/analysis/tally"
	"onegrain/analysis/window"
)

const lawsCaption = "Chance of one grain, full by the end of the programme, over all laws that the logbook allows: " +
	"the mean, and the range in which 90 of 100 laws lie. The level across is the wanted chance."

// overLaws is the chart of the chance over the laws of a logbook with its range; none where a study
// has laws of its own, or varies nothing.
func overLaws(f *analysis.Findings) []Plot {
	m := graph.Multiples{Title: "Chance over all laws", Curves: over(f, graph.Axis{Name: "Chance of a single grain"},
		"over all laws", func(p window.Point) graph.Point {
			if p.Laws == nil {
				return point(p.X, tally.Unknown(), tally.Interval{})
			}
			return point(p.X, p.Laws.Chance, tally.Interval{Low: p.Laws.Low, High: p.Laws.High})
		})}
	if m.Curves == nil {
		return nil
	}
	for i := range m.Curves {
		m.Curves[i].To, m.Curves[i].Wanted = 1, f.Window.Wanted
	}
	return []Plot{{Name: "laws", Section: "window", Caption: lawsCaption,
		Draw: func(w io.Writer, format paper.Format) (string, error) {
			alt, err := m.Draw(w, format)
			return alt + widest(m.Curves), err
		}}}
}

// widest says in words where the laws differ most and least.
func widest(parts []graph.Curves) string {
	var least, most *graph.Point
	for _, part := range parts {
		for _, l := range part.Lines {
			for i := range l.Points {
				p := &l.Points[i]
				if math.IsNaN(p.High - p.Low) {
					continue
				}
				if least == nil || p.High-p.Low < least.High-least.Low {
					least = p
				}
				if most == nil || p.High-p.Low > most.High-most.Low {
					most = p
				}
			}
		}
	}
	if most == nil {
		return ""
	}
	return fmt.Sprintf(" Where the laws differ most, 90 of 100 of them lie from %.2f to %.2f; where they differ "+
		"least, from %.2f to %.2f.", most.Low, most.High, least.Low, least.High)
}
