package body

// Block is a rectangular body of size x, y, z in mm. In a plane the size along the flat axis is not looked at. Opposite
// faces of a periodic block are joined.
func Block(sizeMM [3]float64, cellMM float64, flat int, periodic bool) (*Grid, error) {
	if err := plane(flat); err != nil {
		return nil, err
	}
	sizes := []length{{"cell_mm", cellMM}}
	for a, name := range [3]string{"size_mm along x", "size_mm along y", "size_mm along z"} {
		if a != flat {
			sizes = append(sizes, length{name, sizeMM[a]})
		}
	}
	if err := positive(sizes...); err != nil {
		return nil, err
	}
	n, err := counts(sizeMM, cellMM, flat)
	if err != nil {
		return nil, err
	}
	g := &Grid{N: n, CellMM: cellMM, Origin: centred(n, cellMM, flat), Flat: flat, Periodic: periodic,
		rim: Rim{HalfMM: [2]float64{sizeMM[0] / 2, sizeMM[1] / 2}}}
	nx, ny, _ := g.Layer()
	g.outline = make([]State, nx*ny)
	return g, nil
}
