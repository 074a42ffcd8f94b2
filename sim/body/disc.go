package body

// Disc is a flat cylinder about the axis. Seen from above it is a circle and the height is not
// looked at; its vertical section is the rectangle diameter × height through the axis.
func Disc(diameterMM, heightMM, cellMM float64, flat int) (*Grid, error) {
	return round(diameterMM, -1, heightMM, cellMM, flat, "diameter_mm")
}

// round is a disc with a hole of the given width in mm; below zero there is none.
func round(outerMM, innerMM, heightMM, cellMM float64, flat int, name string) (*Grid, error) {
	g, err := newGrid([3]length{{name, outerMM}, {name, outerMM}, {"height_mm", heightMM}}, cellMM, flat)
	if err != nil {
		return nil, err
	}
	if flat == VerticalSection {
		g.rim = Rim{HalfMM: [2]float64{outerMM / 2, outerMM / 2}}
		return g, nil
	}
	// The squares are whole numbers; a centre on the line stays on it in spite of rounding.
	outer, inner, slack := outerMM/cellMM, innerMM/cellMM, 1e-6
	g.rim = Rim{OuterMM: outerMM / 2, InnerMM: max(0, innerMM/2)}
	for u := range g.outline {
		x, y := fromAxis(u%g.N[0], g.N[0]), fromAxis(u/g.N[0], g.N[1])
		if d := x*x + y*y; d > outer*outer+slack || (inner >= 0 && d < inner*inner-slack) {
			g.outline[u] = Outside
		}
	}
	return g, nil
}
