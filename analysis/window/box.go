package window

// boxOf is the box of a raster with the most crossings, all of them 1; none where there is none. Of equal ones the first counts.
func (v *view) boxOf(good *raster) []Box {
	n, m := len(good.columns), len(good.rows)
	if n == 0 || m == 0 {
		return nil
	}
	if n > m { // pairs along the shorter side
		return v.boxes(good.rows, good.columns, func(i, j int) bool { return good.height[j][i] == 1 }, true)
	}
	return v.boxes(good.columns, good.rows, func(i, j int) bool { return good.height[i][j] == 1 }, false)
}

// boxes tries every stretch of the first list: the longest run in the second where all of the stretch is good.
func (v *view) boxes(a, b []float64, good func(i, j int) bool, turned bool) []Box {
	var best [4]int
	size := 0
	all := make([]bool, len(b))
	for i0 := range a {
		for j := range all {
			all[j] = true
		}
		for i1 := i0; i1 < len(a); i1++ {
			run := 0
			for j := range b {
				all[j] = all[j] && good(i1, j)
				if !all[j] {
					run = 0
					continue
				}
				if run++; run*(i1-i0+1) > size {
					size, best = run*(i1-i0+1), [4]int{i0, i1, j - run + 1, j}
				}
			}
		}
	}
	if size == 0 {
		return nil
	}
	x, y := [2]float64{a[best[0]], a[best[1]]}, [2]float64{b[best[2]], b[best[3]]}
	if turned {
		x, y = y, x
	}
	out := Box{X: v.whole(v.x, x[0], x[1])}
	r := v.whole(v.y, y[0], y[1])
	out.Y = &r
	var in []Point
	for _, p := range v.points {
		if inside(out, p) {
			in = append(in, p)
		}
	}
	return []Box{v.box(in, out.X, out.Y)}
}
