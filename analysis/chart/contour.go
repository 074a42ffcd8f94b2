package chart

import (
	"math"
	"sort"

	"onegrain/analysis/trace"
)

// contour are the segments of a view along which the arrival time is `level` hours, in cells from its lower left corner.
func contour(p *view, level float64) [][2]point {
	segments := trace.Contour(p.nu, p.nv, func(u, v int) float64 {
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
