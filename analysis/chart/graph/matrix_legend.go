package graph

import (
	"fmt"
	"math"
	"slices"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/tint"
)

// entries explain what stands in the cells.
func (m *matrix) entries() (list []entry) {
	_, failed, _, apart, _ := m.tally()
	counted := slices.ContainsFunc(m.Cells, func(c Cell) bool { return c.Runs > 0 && !c.Failed })
	exact := slices.ContainsFunc(m.Cells, func(c Cell) bool { return !math.IsNaN(c.Exact) })
	if len(m.edge()) > 0 {
		list = append(list, entry{fmt.Sprintf("chance of %s %%", percent(m.Wanted)), func(p *paper.Page, x, y float64) {
			p.Stroke(tint.Ink().Color(), 2, [][2]float64{{x, y + 5}, {x + 26, y + 5}})
		}})
	}
	if len(m.Interval) > 0 {
		list = append(list, entry{"its 95 % interval", func(p *paper.Page, x, y float64) {
			for i := range 4 {
				p.Stroke(tint.Ink().Color(), 1.3, [][2]float64{{x + 7*float64(i), y + 5}, {x + 7*float64(i) + 4, y + 5}})
			}
		}})
	}
	if m.detail() > 0 && exact {
		list = append(list, entry{"0.97: exact chance", nil})
	}
	if m.detail() > 1 && counted {
		list = append(list, entry{"62/64: counted single grains of runs", nil})
	}
	if m.detail() > 2 && counted {
		list = append(list, entry{"counted with 95 % interval on 0 to 1; upright: exact", func(p *paper.Page, x, y float64) {
			m.strip(p.Part(x, y, 28, 10), &Cell{Exact: 0.7, Hits: 8, Runs: 10, Low: 0.44, High: 0.97}, p.Part(x, y+2, 28, 6).Rectangle, tint.Ink().Color())
		}})
	}
	if apart > 0 && m.detail() > 0 {
		list = append(list, entry{"!: exact outside that interval", nil})
	}
	if failed > 0 {
		list = append(list, entry{"failed", func(p *paper.Page, x, y float64) {
			if c := p.Part(x, y, 26, 10); m.dots {
				m.dot(c, Cell{Failed: true}, c.Center())
			} else {
				hatched(c, c.Rectangle, true)
			}
		}})
	}
	return list
}
