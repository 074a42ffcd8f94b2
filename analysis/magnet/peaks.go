package magnet

import (
	"cmp"
	"slices"
)

// How far a peak stands out at least. One long grain has a maximum near each end of its ridge, up to 15 % above the middle (thin bars close
// above the face; TestBar), and shall count once; peaks of two domains stand out by more. What is below a fiftieth of the highest
// field is not told from the steps of the map.
const (
	leastOwn  = 0.2  // of its own field
	leastPeak = 0.02 // of the highest field
)

// Peak is a local maximum of the field.
type Peak struct {
	AtMM        [2]float64 // between cells, by the paraboloid through the nine around
	BT          float64    // T
	ProminenceT float64    // how far one has to go down before one can go up to a higher peak, T; its own height for the highest
}

// peaks finds the maxima that stand out, by lowering a water level: land that emerges alone is a peak, and where two islands
// meet, the lower of their peaks has got its prominence.
func (f *Field) peaks() []Peak {
	order := make([]int32, 0, len(f.BT))
	for u, b := range f.BT {
		if b > 0 {
			order = append(order, int32(u))
		}
	}
	slices.SortFunc(order, func(p, q int32) int {
		return cmp.Or(cmp.Compare(f.BT[q], f.BT[p]), cmp.Compare(p, q))
	})
	if len(order) == 0 {
		return nil
	}
	land := &islands{of: make([]int32, len(f.BT))}
	for u := range land.of {
		land.of[u] = -1
	}
	var found []Peak
	least := leastPeak * f.BT[order[0]]
	note := func(top int32, level float64) {
		if rise := f.BT[top] - level; rise >= max(least, leastOwn*f.BT[top]) {
			found = append(found, f.peak(top, rise))
		}
	}
	for _, u := range order {
		land.of[u] = u
		f.around(u, func(v int32) {
			if land.of[v] < 0 {
				return
			}
			p, q := land.top(u), land.top(v)
			if p == q {
				return
			}
			if f.higher(p, q) {
				p, q = q, p
			}
			note(p, f.BT[u])
			land.of[p] = q
		})
	}
	for _, u := range order {
		if land.of[u] == u {
			note(u, 0)
		}
	}
	slices.SortStableFunc(found, func(p, q Peak) int { return cmp.Compare(q.BT, p.BT) })
	return found
}

// higher tells whether cell p has the higher field, the earlier one of equals.
func (f *Field) higher(p, q int32) bool {
	return f.BT[p] > f.BT[q] || f.BT[p] == f.BT[q] && p < q
}

// around calls do for the cells around u.
func (f *Field) around(u int32, do func(v int32)) {
	i, j := int(u)%f.NX, int(u)/f.NX
	for y := max(0, j-1); y <= min(f.NY-1, j+1); y++ {
		for x := max(0, i-1); x <= min(f.NX-1, i+1); x++ {
			if v := int32(y*f.NX + x); v != u {
				do(v)
			}
		}
	}
}

// islands are sets of cells, each named by its highest; -1 under water.
type islands struct{ of []int32 }

func (l *islands) top(u int32) int32 {
	for l.of[u] != u {
		l.of[u] = l.of[l.of[u]]
		u = l.of[u]
	}
	return u
}

// peak places a maximum between the cells.
func (f *Field) peak(u int32, rise float64) Peak {
	i, j := int(u)%f.NX, int(u)/f.NX
	b := f.BT[u]
	x, y, top := 0.0, 0.0, b
	if i > 0 && j > 0 && i < f.NX-1 && j < f.NY-1 {
		x, y, top = vertex(func(dx, dy int) float64 { return f.BT[(j+dy)*f.NX+i+dx] })
	}
	if b == rise { // the highest, or one that never met a higher one
		rise = top
	}
	at := [2]float64{f.OriginMM[0] + (float64(i)+x)*f.CellMM, f.OriginMM[1] + (float64(j)+y)*f.CellMM}
	return Peak{AtMM: at, BT: top, ProminenceT: rise}
}

// vertex is the top of the paraboloid that fits nine values best by least squares; the middle one where it has none near.
func vertex(b func(dx, dy int) float64) (x, y, top float64) {
	var sum, sx, sy, sxx, syy, sxy float64
	for dy := -1; dy <= 1; dy++ {
		for dx := -1; dx <= 1; dx++ {
			v, p, q := b(dx, dy), float64(dx), float64(dy)
			sum, sx, sy, sxx, syy, sxy = sum+v, sx+v*p, sy+v*q, sxx+v*p*p, syy+v*q*q, sxy+v*p*q
		}
	}
	gx, gy := sx/6, sy/6
	cxx, cyy, cxy := sxx-sum*2/3, syy-sum*2/3, sxy/4 // second derivatives
	c0 := sum/9 - (cxx+cyy)/3
	det := cxx*cyy - cxy*cxy
	if !(cxx < 0) || !(det > 0) {
		return 0, 0, b(0, 0)
	}
	x, y = (cxy*gy-cyy*gx)/det, (cxy*gx-cxx*gy)/det
	if x < -1 || x > 1 || y < -1 || y > 1 {
		return 0, 0, b(0, 0)
	}
	return x, y, max(b(0, 0), c0+(gx*x+gy*y)/2)
}
