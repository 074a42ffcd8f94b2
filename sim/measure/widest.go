package measure

import (
	"cmp"
	"math"
	"slices"
)

// shortfall is how far the half width found may fall short of the largest one, in cells.
const shortfall = 0.02

// widest is the place and the half width, in cells, of the largest shape that holds no part of a
// blocked cell and stays within the rim; half is 0 if there is none. Where the shape's centre has
// half width w, no point at a distance d (in the shape's own norm) can have more than w + d: so
// squares of centres are split in four, the most promising first, until none can better what has
// been found by more than `shortfall`.
func (c *clearing) widest(s shape) (x, y, half float64) {
	if c.empty() {
		return 0, 0, 0
	}
	root := square4{half: float64(max(c.nx, c.ny)) / 2}
	root.x, root.y = float64(c.nx-1)/2, float64(c.ny-1)/2
	root.most = math.Inf(1)
	candidates := []square4{root} // the most promising last
	x, y, half = root.x, root.y, math.Max(0, c.reach(s, root.x, root.y))
	ceiling := c.ceiling(s)
	for n := 0; n >= 0 && math.Min(candidates[n].most, ceiling) > half+shortfall; n = len(candidates) - 1 {
		q := candidates[n]
		candidates = candidates[:n]
		h := q.half / 2
		for _, at := range [4][2]float64{{q.x - h, q.y - h}, {q.x + h, q.y - h}, {q.x - h, q.y + h}, {q.x + h, q.y + h}} {
			w := c.reach(s, at[0], at[1])
			if w > half {
				x, y, half = at[0], at[1], w
			}
			if most := w + h*s.diagonal(); most > half+shortfall {
				next := square4{at[0], at[1], h, most}
				i, _ := slices.BinarySearchFunc(candidates, next, byPromise)
				candidates = slices.Insert(candidates, i, next)
			}
		}
	}
	return x, y, half
}

// ceiling is a half width that the body itself allows no shape to exceed. Without it the search
// would try the whole middle line of a long body, whose places are all equally good.
func (c *clearing) ceiling(s shape) float64 {
	r := &c.rim
	switch p := r.Picture; {
	case p != nil:
		return float64(min(p.Columns, p.Rows)) * p.MMPerPixel / c.cellMM / 2 / s.stretch()
	case r.InnerMM > 0:
		return (r.OuterMM - r.InnerMM) / 2 / c.cellMM // by the circle that the shape holds
	case r.OuterMM > 0:
		return r.OuterMM / c.cellMM
	}
	return math.Min(r.HalfMM[0], r.HalfMM[1]) / c.cellMM / s.stretch()
}

// square4 is a square of possible centres, and a half width that none of them exceeds.
type square4 struct{ x, y, half, most float64 }

// byPromise sorts the highest bound last; equal ones in order of place, so that the search is the
// same everywhere.
func byPromise(a, b square4) int {
	return cmp.Or(cmp.Compare(a.most, b.most), cmp.Compare(b.y, a.y), cmp.Compare(b.x, a.x))
}
