package chart

import (
	"math"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/tint"
)

const compassHeight = 56.0

// compass shows in the legend how the axes of one crystal lie in each view.
type compass struct {
	axes [9]float64 // rows a, b, c
	seen []*view
}

// newCompass is the compass of the first seeded grain; nil where there is none.
func newCompass(c *Cells, seen []*view) *compass {
	for _, g := range c.Grains {
		if g.Seeded {
			return &compass{g.Axes, seen}
		}
	}
	return nil
}

func (m *compass) draw(p *paper.Page, x, y float64) {
	const apart = 92.0
	p.Text(x, y+9, legendSize, 0, tint.Ink().Color(), "axes of the first seed")
	for i, v := range m.seen {
		left := x + float64(i)*apart
		m.rose(p, left+20, y+36, v)
		p.Text(left+46, y+39, 7.5, 0, tint.Grey().Color(), [3]string{"section", "section", "from above"}[3-v.uAxis-v.vAxis])
	}
}

// rose draws the axes that lie nearly enough in the plane of a view to be seen, both ways, the positive with its letter.
func (m *compass) rose(p *paper.Page, x, y float64, v *view) {
	const arm, tip = 12.0, 3.0
	for row, name := range []string{"a", "b", "c"} {
		du, dv := m.axes[3*row+v.uAxis], m.axes[3*row+v.vAxis]
		long := math.Hypot(du, dv)
		if long < 0.3 {
			continue
		}
		ex, ey := x+arm*du, y-arm*dv
		p.Stroke(tint.Ink().Color(), 0.8, [][2]float64{{x - 0.5*arm*du, y + 0.5*arm*dv}, {ex, ey}})
		nx, ny := du/long, -dv/long // along the axis, on the page
		p.Shape(tint.Ink().Color(), [][2]float64{{ex + tip*nx, ey + tip*ny}, {ex - tip*0.6*ny, ey + tip*0.6*nx}, {ex + tip*0.6*ny, ey - tip*0.6*nx}})
		p.Text(ex+8*nx, ey+8*ny+2.5, 7.5, 0.5, tint.Ink().Color(), name)
	}
}
