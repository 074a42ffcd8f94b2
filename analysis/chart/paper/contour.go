package paper

// Contour are the segments along which a field on nx × ny points passes a level, in points from the first. They are found square
// by square between four points that have a value, by linear interpolation along the sides (marching squares); a
// saddle is cut by the mean of its corners. No contour is guessed where one of the four has none.
func Contour(nx, ny int, value func(x, y int) (float64, bool), level float64) [][2][2]float64 {
	var segments [][2][2]float64
	for y := range ny - 1 {
		for x := range nx - 1 {
			segments = appendSquare(segments, value, x, y, level)
		}
	}
	return segments
}

func appendSquare(segments [][2][2]float64, value func(x, y int) (float64, bool), u, v int, level float64) [][2][2]float64 {
	corners := [4][2]int{{u, v}, {u + 1, v}, {u + 1, v + 1}, {u, v + 1}}
	var above [4]float64
	mean := 0.0
	for i, c := range corners {
		here, known := value(c[0], c[1])
		if !known {
			return segments
		}
		above[i] = here - level
		mean += above[i] / 4
	}
	var cuts [][2]float64
	for i := range corners {
		if next := (i + 1) % 4; above[i] < 0 != (above[next] < 0) {
			cuts = append(cuts, crossing(corners[i], corners[next], above[i], above[next]))
		}
	}
	switch {
	case len(cuts) == 2:
		return append(segments, [2][2]float64{cuts[0], cuts[1]})
	case len(cuts) == 4 && (above[0] < 0) == (mean < 0):
		return append(segments, [2][2]float64{cuts[0], cuts[1]}, [2][2]float64{cuts[2], cuts[3]})
	case len(cuts) == 4:
		return append(segments, [2][2]float64{cuts[3], cuts[0]}, [2][2]float64{cuts[1], cuts[2]})
	}
	return segments
}

// crossing is where the field between two points passes the level. The side is always read in the same direction,
// so that the two squares that share it find the same bits.
func crossing(a, b [2]int, above, next float64) [2]float64 {
	if b[0] < a[0] || b[1] < a[1] {
		a, b, above, next = b, a, next, above
	}
	t := above / (above - next)
	return [2]float64{float64(a[0]) + t*float64(b[0]-a[0]), float64(a[1]) + t*float64(b[1]-a[1])}
}
