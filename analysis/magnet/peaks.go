package magnet

import (
	"cmp"
	"slices"
)

// How far a peak stands out at least. One long grain has a maximum near each end of its ridge, up
// to 15 % above the middle (thin bars close above the face; TestBar), and shall count once; peaks
// of two domains stand out by more. What is below a fiftieth of the highest field is not told from
// the steps of the map.
const (
	leastOwn  = 0.2  // of its own field
	leastPeak = 0.02 // of the highest field
)

// Peak is a local maximum of the field.
type Peak struct {
	AtMM [2]float64 // between cells, by the paraboloid through the nine around
	BT   float64    // T
}

// peaks finds the maxima that stand out, by lowering a water level: land that emerges alone is a
// peak, and where two islands meet, the lower of their peaks has been told how far it stands out.
func (f *Field) peaks() (found []Peak) {
	order := make([]int32, 0, len(f.BT))
	for u, b := range f.BT {
		if b > 0 {
			order = append(order, int32(u))
		}
	}
	if len(order) == 0 {
		return nil
	}
	higher := func(p, q int32) int { return cmp.Or(cmp.Compare(f.BT[q], f.BT[p]), cmp.Compare(p, q)) }
	slices.SortFunc(order, higher)
	land := make(islands, len(f.BT))
	for u := range land {
		land[u] = -1
	}
	least := leastPeak * f.BT[order[0]]
	note := func(top int32, level float64) {
		if f.BT[top]-level >= max(least, leastOwn*f.BT[top]) {
			found = append(found, f.peak(top))
		}
	}
	for _, u := range order {
		land[u] = u
		i, j := int(u)%f.NX, int(u)/f.NX
		for y := max(0, j-1); y <= min(f.NY-1, j+1); y++ {
			for x := max(0, i-1); x <= min(f.NX-1, i+1); x++ {
				v := y*f.NX + x
				if land[v] < 0 {
					continue
				}
				p, q := land.top(u), land.top(int32(v))
				if p == q {
					continue
				}
				if higher(p, q) < 0 {
					p, q = q, p
				}
				note(p, f.BT[u])
				land[p] = q
			}
		}
	}
	for _, u := range order {
		if land[u] == u {
			note(u, 0)
		}
	}
	slices.SortStableFunc(found, func(p, q Peak) int { return cmp.Compare(q.BT, p.BT) })
	return found
}

// islands are sets of cells, each named by its highest; -1 under water.
type islands []int32

func (l islands) top(u int32) int32 {
	for l[u] != u {
		l[u] = l[l[u]]
		u = l[u]
	}
	return u
}

// peak places a maximum between the cells.
func (f *Field) peak(u int32) Peak {
	i, j := int(u)%f.NX, int(u)/f.NX
	x, y, top := 0.0, 0.0, f.BT[u]
	if i > 0 && j > 0 && i < f.NX-1 && j < f.NY-1 {
		x, y, top = vertex(func(dx, dy int) float64 { return f.BT[(j+dy)*f.NX+i+dx] })
	}
	return Peak{[2]float64{f.OriginMM[0] + (float64(i)+x)*f.CellMM, f.OriginMM[1] + (float64(j)+y)*f.CellMM}, top}
}

// vertex is the top of the paraboloid that fits nine values best by least squares; the middle one
// where it has none near.
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
