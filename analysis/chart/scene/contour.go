package scene

import (
	"cmp"
	"math"
	"slices"

	"onegrain/analysis/trace"
)

// contour are the segments of a view along which the arrival time is `level` hours, in cells from
// its lower left corner.
func contour(p *view, level float64) [][2]point {
	segments := trace.Contour(p.u.n, p.v.n, func(u, v int) float64 {
		if p.grain(u, v) < 0 {
			return math.NaN()
		}
		return p.timeH(u, v)
	}, level)
	for i := range segments {
		for j := range segments[i] {
			segments[i][j][0] += 0.5
			segments[i][j][1] += 0.5
		}
	}
	return segments
}

// span is the first and the last arrival time in the views, in hours; first > last where nothing is
// solid.
func span(views []*view) (first, last float64) {
	first, last = math.Inf(1), math.Inf(-1)
	for _, p := range views {
		p.each(func(u, v int) {
			if p.grain(u, v) >= 0 {
				first, last = math.Min(first, p.timeH(u, v)), math.Max(last, p.timeH(u, v))
			}
		})
	}
	return first, last
}

// tag is the place of a contour's label.
type tag struct {
	level float64
	at    point // centre, in cells
}

// tags finds a place for the label of each contour: as near as possible to the ray that leaves the
// earliest cell towards the right and slightly downwards, where no other label is in the way; a
// contour with no room goes without. Width and height of a label are in cells.
func tags(p *view, levels []float64, width, height float64) (placed []tag) {
	origin := earliest(p)
	offRay := func(m point) float64 { // rad, from the ray 20° below the horizontal
		return math.Abs(math.Atan2(m[1]-origin[1], m[0]-origin[0]) + 20*math.Pi/180)
	}
	for _, level := range levels {
		var mids []point
		for _, s := range contour(p, level) {
			mids = append(mids, point{(s[0][0] + s[1][0]) / 2, (s[0][1] + s[1][1]) / 2})
		}
		slices.SortStableFunc(mids, func(a, b point) int { return cmp.Compare(offRay(a), offRay(b)) })
		if i := slices.IndexFunc(mids, func(m point) bool { return fits(p, placed, m, width, height) }); i >= 0 {
			placed = append(placed, tag{level, mids[i]})
		}
	}
	return placed
}

func fits(p *view, placed []tag, m point, width, height float64) bool {
	if m[0] < width/2 || m[1] < height/2 || m[0] > float64(p.u.n)-width/2 || m[1] > float64(p.v.n)-height/2 {
		return false
	}
	for _, sign := range []float64{-1, 1} {
		if p.grain(int(m[0]+sign*width/2-0.01*sign), int(m[1])) < 0 {
			return false
		}
	}
	return !slices.ContainsFunc(placed, func(t tag) bool {
		return math.Abs(t.at[0]-m[0]) < width*1.1 && math.Abs(t.at[1]-m[1]) < height*1.2
	})
}

// earliest is the centre of the cell that was captured first.
func earliest(p *view) (at point) {
	best := math.Inf(1)
	p.each(func(u, v int) {
		if p.grain(u, v) >= 0 && p.timeH(u, v) < best {
			best, at = p.timeH(u, v), point{float64(u) + 0.5, float64(v) + 0.5}
		}
	})
	return at
}
