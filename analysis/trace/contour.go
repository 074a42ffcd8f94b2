package trace

import "math"

// Crossing is where a contour passes the side of a square: between point (I, J) of the grid and the
// next one along x, or along y where Up. Each side has one crossing at most for a level, so all
// squares that share it name the same.
type Crossing struct {
	I, J  int
	Up    bool
	Share float64 // of the way from (I, J), 0 to 1
}

// Point is the place of a crossing, in points from the first of the grid.
func (c Crossing) Point() [2]float64 {
	if c.Up {
		return [2]float64{float64(c.I), float64(c.J) + c.Share}
	}
	return [2]float64{float64(c.I) + c.Share, float64(c.J)}
}

// Contour are the segments along which a field on nx × ny points passes a level, in points from the
// first. See [Crossings].
func Contour(nx, ny int, value func(i, j int) float64, level float64) (segments [][2][2]float64) {
	for _, c := range Crossings(nx, ny, value, level) {
		segments = append(segments, [2][2]float64{c[0].Point(), c[1].Point()})
	}
	return segments
}

// Crossings are the segments along which a field on nx × ny points passes a level: found square by
// square, row by row, by linear interpolation along the sides (marching squares). A saddle is cut
// by the mean of its corners; a value equal to the level counts as above it. No contour is guessed
// where one of the four corners is not known (NaN).
func Crossings(nx, ny int, value func(i, j int) float64, level float64) (segments [][2]Crossing) {
	for j := range ny - 1 {
		for i := range nx - 1 {
			above := [4]float64{value(i, j) - level, value(i+1, j) - level, value(i+1, j+1) - level, value(i, j+1) - level}
			mean := above[0]/4 + above[1]/4 + above[2]/4 + above[3]/4
			if math.IsNaN(mean) {
				continue
			}
			cuts := square(i, j, above)
			switch {
			case len(cuts) == 2:
				segments = append(segments, [2]Crossing{cuts[0], cuts[1]})
			case len(cuts) == 4 && above[0] < 0 == (mean < 0):
				segments = append(segments, [2]Crossing{cuts[0], cuts[1]}, [2]Crossing{cuts[2], cuts[3]})
			case len(cuts) == 4:
				segments = append(segments, [2]Crossing{cuts[3], cuts[0]}, [2]Crossing{cuts[1], cuts[2]})
			}
		}
	}
	return segments
}

// square is where a contour passes the sides of a square, counter-clockwise from below. A side is
// always read in the same direction, so that the two squares that share it find the same bits.
func square(i, j int, above [4]float64) (cuts []Crossing) {
	for k, s := range [4]struct {
		at       Crossing
		from, to int
	}{
		{Crossing{I: i, J: j}, 0, 1}, {Crossing{I: i + 1, J: j, Up: true}, 1, 2},
		{Crossing{I: i, J: j + 1}, 3, 2}, {Crossing{I: i, J: j, Up: true}, 0, 3},
	} {
		if above[k] < 0 != (above[(k+1)%4] < 0) {
			s.at.Share = above[s.from] / (above[s.from] - above[s.to])
			cuts = append(cuts, s.at)
		}
	}
	return cuts
}
