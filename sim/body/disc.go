package body

// Disc is a flat cylinder about the axis. Seen from above it is a circle and the height is not looked at; its vertical
// section is the rectangle diameter × height through the axis.
func Disc(diameterMM, heightMM, cellMM float64, flat int) (*Grid, error) {
	return round(diameterMM, -1, heightMM, cellMM, flat, "diameter_mm")
}

// round is a disc with a hole of the given width in mm; below zero there is none.
func round(outerMM, innerMM, heightMM, cellMM float64, flat int, name string) (*Grid, error) {
	if err := plane(flat); err != nil {
		return nil, err
	}
	sizes := []length{{"cell_mm", cellMM}, {name, outerMM}}
	if flat != FromAbove {
		sizes = append(sizes, length{"height_mm", heightMM})
	}
	if err := positive(sizes...); err != nil {
		return nil, err
	}
	g, err := Block([3]float64{outerMM, outerMM, heightMM}, cellMM, flat, false)
	if err != nil || flat == VerticalSection {
		return g, err
	}
	// The squares are whole numbers; a centre on the line stays on it in spite of rounding.
	outer, inner, slack := outerMM/cellMM, innerMM/cellMM, 1e-6
	g.rim = Rim{OuterMM: outerMM / 2, InnerMM: max(0, innerMM/2)}
	for j := range g.N[1] {
		for i := range g.N[0] {
			x, y := fromAxis(i, g.N[0]), fromAxis(j, g.N[1])
			if d := x*x + y*y; d > outer*outer+slack || (inner >= 0 && d < inner*inner-slack) {
				g.outline[j*g.N[0]+i] = Outside
			}
		}
	}
	return g, nil
}
