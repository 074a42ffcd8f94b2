package growth

import (
	"cmp"
	"math"
	"slices"

	"onegrain/sim/body"
)

// The hour until a body is solid is that of its last place, which is no centre of a cell: a corner
// of the body, a point of its rim, or the meeting of two grains. A face that has captured a cell
// goes on along its own normal and tells when it gets to a place nearby. Of one front the latest
// face counts, since a box is there with all of them, and of all fronts the earliest.
type ending struct {
	*Field
	rim    [2]float64 // outer and inner radius of a round body, cells
	axis   [2]float64 // where its axis lies, cells
	best   float64    // latest key found
	fronts []reaching // scratch
}

// reaching is a front that gets to a place, given by one of its cells.
type reaching struct {
	first probe
	key   float64
}

// LastH is the hour at which the last place of a body that is solid becomes so, not beyond the
// programme's end. rows says for each row of cells, j first, the hour at which the last of its
// centres was captured. For free grains and for two that meet it is right to a tenth of a cell's
// growth.
func (f *Field) LastH(rows []float64) float64 {
	e := &ending{Field: f}
	g := f.front.grid
	e.rim = [2]float64{g.Rim().OuterMM / g.CellMM, g.Rim().InnerMM / g.CellMM}
	e.axis = [2]float64{-g.Origin[0] / g.CellMM, -g.Origin[1] / g.CellMM}
	order := make([]int, len(rows))
	for r := range order {
		order[r] = r
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(rows[b], rows[a]) })
	last := rows[order[0]]
	row, from := make([]Cell, g.N[0]), f.earliest(last)
	for _, r := range order {
		if rows[r] < from {
			break
		}
		f.Row(r%g.N[1], r/g.N[1], row)
		for x := range row {
			if float64(row[x].TimeH) >= from {
				e.cell(x, r%g.N[1], r/g.N[1])
			}
		}
	}
	return math.Min(f.endH(), math.Max(last, f.hours(e.best)))
}

const (
	farthest   = 2.0  // from the centre of a cell no place is looked at that lies further, cells
	negligible = 0.02 // a place later by less is not looked for, cells
)

// earliest is an hour before which no cell can matter when the last one came at an hour.
func (f *Field) earliest(lastH float64) float64 {
	if l := f.local; l != nil {
		hot := slices.Max(l.depthK)
		if l.flatK != nil {
			hot += slices.Max(l.flatK)
		}
		u := l.times[l.times.find(lastH)].undercooling(lastH) - hot
		return lastH - 2*farthest/math.Max(math.Min(l.a.at(u), l.c.at(u)), 1e-9)
	}
	k := f.front.clock
	key := k.key(lastH)
	return k.time(math.Min(key-farthest, k.fromC(k.cLength(key)-farthest)))
}

func (f *Field) endH() float64 {
	if f.local != nil {
		return f.local.end
	}
	return f.front.clock.time(f.front.clock.end)
}

// cell looks at the places round a cell unless they cannot be the last.
func (e *ending) cell(x, y, z int) {
	p, ok := e.probe(x, y, z)
	if !ok {
		return
	}
	rim := e.rimAt(p.at)
	flat, up := math.Abs(p.normal[0])+math.Abs(p.normal[1]), math.Abs(p.normal[2])
	if rim > 0 {
		flat *= 2
	}
	if e.later(&p, float64(0.5*(flat+up))-negligible) <= e.best {
		return
	}
	var ends [3][2]bool // the front ends on that side, with the body or at another front
	for a := range ends {
		if a == e.front.grid.Flat {
			ends[a] = [2]bool{true, true}
			continue
		}
		for i, step := range [2]int{-1, 1} {
			to := p.cell
			to[a] += step
			q, ok := e.probe(to[0], to[1], to[2])
			if ends[a][i] = !ok || !e.together(&p, &q); ok && ends[a][i] {
				e.meeting(&p, &q, a)
			}
		}
	}
	e.corners(&p, ends, rim)
}

// meeting looks at where two fronts meet between two cells: in their middle and along their sides,
// where the body may end.
func (e *ending) meeting(p, q *probe, along int) {
	b, c := (along+1)%3, (along+2)%3
	for i := range 9 {
		var side [3]float64
		side[b], side[c] = 0.5*float64(i%3-1), 0.5*float64(i/3-1)
		if f := e.front.grid.Flat; f >= 0 && side[f] != 0 {
			continue
		}
		low, high := 0.0, 1.0
		var at [3]float64
		for range 10 {
			s := 0.5 * (low + high)
			for a := range at {
				at[a] = p.at[a] + side[a] + float64(s*(q.at[a]-p.at[a]))
			}
			if e.when(p, at) < e.when(q, at) {
				low = s
			} else {
				high = s
			}
		}
		if e.when(p, at) > e.best {
			e.place(at, 0.75)
		}
	}
}

// corners looks at the corners of a cell where its front ends, and at its round rim. Between them a
// front, the latest of some planes, is nowhere later.
func (e *ending) corners(p *probe, ends [3][2]bool, rim float64) {
	flat := e.front.grid.Flat
	for i := range 8 {
		at := p.at
		ok := flat < 0 || i>>flat&1 == 0
		for a := range at {
			if up := i >> a & 1; a != flat {
				at[a] += float64(up) - 0.5
				ok = ok && ends[a][up]
			}
		}
		if ok && rim == 0 || ok && e.within(at) {
			e.place(at, 0.5)
		}
	}
	if none := [2]bool{}; rim == 0 || ends[0] == none && ends[1] == none {
		return
	}
	x, y := p.at[0]-e.axis[0], p.at[1]-e.axis[1]
	for i := -4; i <= 4; i++ {
		t := 0.2 * float64(i) / rim
		u, v := x-float64(t*y), y+float64(t*x)
		to := rim / math.Max(math.Sqrt(float64(u*u)+float64(v*v)), 1e-9)
		for up, end := range ends[2] {
			at := [3]float64{e.axis[0] + float64(u*to), e.axis[1] + float64(v*to), p.at[2]}
			if flat != body.FromAbove {
				at[2] += float64(up) - 0.5
			}
			if end && !(flat == body.FromAbove && up == 1) {
				e.place(at, 1)
			}
		}
	}
}

// within tells whether a place lies inside a round rim.
func (e *ending) within(at [3]float64) bool {
	r := e.fromAxis(at)
	return r <= e.rim[0] && r >= e.rim[1]
}

func (e *ending) fromAxis(at [3]float64) float64 {
	x, y := at[0]-e.axis[0], at[1]-e.axis[1]
	return math.Sqrt(float64(x*x) + float64(y*y))
}

// rimAt is the radius of the rim that a cell lies at, 0 for none.
func (e *ending) rimAt(at [3]float64) float64 {
	r := e.fromAxis(at)
	for _, rim := range e.rim {
		if rim > 0 && math.Abs(r-rim) < 1.25 {
			return rim
		}
	}
	return 0
}

// place asks all cells near a place, of centres up to `wide` cells away along each axis, when their
// fronts get there.
func (e *ending) place(at [3]float64, wide float64) {
	n := e.front.grid.N
	var lo, hi [3]int
	for a := range at {
		lo[a], hi[a] = max(0, int(math.Ceil(at[a]-wide-1e-6))), min(n[a]-1, int(math.Floor(at[a]+wide+1e-6)))
	}
	e.fronts = e.fronts[:0]
	for z := lo[2]; z <= hi[2]; z++ {
		for y := lo[1]; y <= hi[1]; y++ {
			for x := lo[0]; x <= hi[0]; x++ {
				if p, ok := e.probe(x, y, z); ok {
					e.note(&p, e.when(&p, at))
				}
			}
		}
	}
	first := math.Inf(1)
	for i := range e.fronts {
		first = math.Min(first, e.fronts[i].key)
	}
	if len(e.fronts) > 0 {
		e.best = math.Max(e.best, first)
	}
}

// note adds a face to the front it is one of.
func (e *ending) note(p *probe, key float64) {
	for i := range e.fronts {
		if a := &e.fronts[i]; e.together(&a.first, p) {
			a.key = math.Max(a.key, key)
			return
		}
	}
	e.fronts = append(e.fronts, reaching{*p, key})
}
