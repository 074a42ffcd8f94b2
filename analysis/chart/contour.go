package chart

import (
	"math"
	"sort"
)

// contour are the segments of a view along which the arrival time is `level` hours, in cells. They are found square by
// square between the centres of four solid cells, by linear interpolation along the sides (marching squares); a
// saddle is cut by the mean of its corners. No contour is guessed where one of the four cells has no time.
func contour(p *view, level float64) [][2]point {
	var segments [][2]point
	for v := range p.nv - 1 {
		for u := range p.nu - 1 {
			segments = appendSquare(segments, p, u, v, level)
		}
	}
	return segments
}

func appendSquare(segments [][2]point, p *view, u, v int, level float64) [][2]point {
	corners := [4][2]int{{u, v}, {u + 1, v}, {u + 1, v + 1}, {u, v + 1}}
	var above [4]float64
	mean := 0.0
	for i, c := range corners {
		if p.grain(c[0], c[1]) < 0 {
			return segments
		}
		above[i] = p.timeH(c[0], c[1]) - level
		mean += above[i] / 4
	}
	var cuts []point
	for i := range corners {
		if next := (i + 1) % 4; above[i] < 0 != (above[next] < 0) {
			cuts = append(cuts, crossing(corners[i], corners[next], above[i], above[next]))
		}
	}
	switch {
	case len(cuts) == 2:
		return append(segments, [2]point{cuts[0], cuts[1]})
	case len(cuts) == 4 && (above[0] < 0) == (mean < 0):
		return append(segments, [2]point{cuts[0], cuts[1]}, [2]point{cuts[2], cuts[3]})
	case len(cuts) == 4:
		return append(segments, [2]point{cuts[3], cuts[0]}, [2]point{cuts[1], cuts[2]})
	}
	return segments
}

// crossing is where the time between two cell centres passes the level. The side is always read in the same direction,
// so that the two squares that share it find the same bits.
func crossing(a, b [2]int, above, next float64) point {
	if b[0] < a[0] || b[1] < a[1] {
		a, b, above, next = b, a, next, above
	}
	t := above / (above - next)
	return point{float64(a[0]) + t*float64(b[0]-a[0]) + 0.5, float64(a[1]) + t*float64(b[1]-a[1]) + 0.5}
}

// span is the first and the last arrival time in the views, in hours; ok is false where nothing is solid.
func span(views []*view) (first, last float64, ok bool) {
	first, last = math.Inf(1), math.Inf(-1)
	for _, p := range views {
		for v := range p.nv {
			for u := range p.nu {
				if p.grain(u, v) >= 0 {
					first, last, ok = math.Min(first, p.timeH(u, v)), math.Max(last, p.timeH(u, v)), true
				}
			}
		}
	}
	return first, last, ok
}

// roundSteps are the multiples of a round step (1, 2 or 5 · 10ⁿ) from low to high, about `wanted` of them, and the
// number of decimals they need.
func roundSteps(low, high float64, wanted int) (values []float64, decimals int) {
	if !(high > low) {
		return []float64{low}, 1
	}
	raw := (high - low) / float64(max(wanted, 1))
	decade := math.Floor(math.Log10(raw))
	step := math.Pow(10, decade)
	for _, factor := range []float64{2, 2.5, 2} { // 1 → 2 → 5 → 10
		if step >= raw {
			break
		}
		step *= factor
	}
	slack := 1e-9 * (high - low)
	for i := math.Ceil((low - slack) / step); i*step <= high+slack; i++ {
		values = append(values, i*step+0) // +0 turns -0 into 0
	}
	return values, max(0, -int(math.Floor(math.Log10(step)+1e-9)))
}

// tag is the place of a contour's label.
type tag struct {
	level float64
	at    point // centre, in cells
}

// tags finds a place for the label of each contour: as near as possible to the ray that leaves the earliest cell towards
// the right and slightly downwards, where no other label is in the way; a contour with no room goes without. Width and
// height of a label are in cells.
func tags(p *view, levels []float64, width, height float64) []tag {
	origin := earliest(p)
	var placed []tag
	for _, level := range levels {
		var mids []point
		for _, s := range contour(p, level) {
			mids = append(mids, point{(s[0][0] + s[1][0]) / 2, (s[0][1] + s[1][1]) / 2})
		}
		sort.SliceStable(mids, func(i, j int) bool { return offRay(origin, mids[i]) < offRay(origin, mids[j]) })
		for _, m := range mids {
			if fits(p, placed, m, width, height) {
				placed = append(placed, tag{level, m})
				break
			}
		}
	}
	return placed
}

func fits(p *view, placed []tag, m point, width, height float64) bool {
	if m[0] < width/2 || m[1] < height/2 || m[0] > float64(p.nu)-width/2 || m[1] > float64(p.nv)-height/2 {
		return false
	}
	for _, sign := range []float64{-1, 1} {
		if p.grain(int(m[0]+sign*width/2-0.01*sign), int(m[1])) < 0 {
			return false
		}
	}
	for _, t := range placed {
		if math.Abs(t.at[0]-m[0]) < width*1.1 && math.Abs(t.at[1]-m[1]) < height*1.2 {
			return false
		}
	}
	return true
}

// earliest is the centre of the cell that was captured first.
func earliest(p *view) point {
	best, at := math.Inf(1), point{}
	for v := range p.nv {
		for u := range p.nu {
			if p.grain(u, v) >= 0 && p.timeH(u, v) < best {
				best, at = p.timeH(u, v), point{float64(u) + 0.5, float64(v) + 0.5}
			}
		}
	}
	return at
}

// offRay is the angle (rad) between the way from o to m and the ray 20° below the horizontal.
func offRay(o, m point) float64 {
	return math.Abs(math.Atan2(m[1]-o[1], m[0]-o[0]) + 20*math.Pi/180)
}
