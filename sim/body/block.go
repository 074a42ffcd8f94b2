package body

// Block is a rectangular body of size x, y, z in mm. In a plane the size along the flat axis is not
// looked at. Opposite faces of a periodic block are joined.
func Block(sizeMM [3]float64, cellMM float64, flat int, periodic bool) (*Grid, error) {
	g, err := newGrid([3]length{{"size_mm along x", sizeMM[0]}, {"size_mm along y", sizeMM[1]},
		{"size_mm along z", sizeMM[2]}},
		cellMM, flat)
	if err != nil {
		return nil, err
	}
	g.Periodic, g.rim = periodic, Rim{HalfMM: [2]float64{sizeMM[0] / 2, sizeMM[1] / 2}}
	return g, nil
}
