package growth

import (
	"math"
)

// watch is what all claims from one record share: the piece of the programme and, at the record's
// place and hour, the undercooling, the rates and their exponents.
type watch struct {
	piece          int
	under, slope   float64 // K, relative change of ΔT per hour
	left           float64 // hours to the end of the piece
	slowA, slowC   float64 // hours per cell
	powerA, powerC float64
}

func (s *local) watch(p *form) watch {
	w := watch{piece: s.times.find(p.hours)}
	t := &s.times[w.piece]
	w.left = t.to - p.hours
	w.under = t.undercooling(p.hours) - p.offset
	if w.under > 0 {
		var ra, rc float64
		ra, w.powerA = s.a.both(w.under)
		rc, w.powerC = s.c.both(w.under)
		w.slowA, w.slowC, w.slope = 1/ra, 1/rc, t.slope/w.under
	}
	return w
}

// guess is the time a face needs, by the series in the offset of the neighbour and in the change of
// ΔT, and how large the latter is.
func guess(need, slow, power, offset, slope float64) (hours, change float64) {
	if need <= 0 {
		return 0, 0
	}
	h := need * slow * (1 + power*offset*(1+0.5*(power+1)*offset))
	e := power * slope * h
	m := slope * h
	return h * (1 - 0.5*e*(1-float64((2*power+1)*m)*(1.0/3-float64((3*power+1)*m)/12))), math.Abs(e)
}

// claimLocal lets a form claim a liquid cell.
func (s *local) claimLocal(w *watch, p *form, q *candidate) {
	b, bit := &s.blocks[q.cell>>6], uint64(1)<<(q.cell&63)
	pending := b.claimed&bit != 0
	half := 0.5 * (q.offset - p.offset)
	hours, sector, ok := 0.0, uint32(0), false
	if w.under > 0 {
		shift := half / w.under
		ha, ea := guess(q.needA, w.slowA, w.powerA, shift, w.slope)
		hc, ec := guess(q.needC, w.slowC, w.powerC, shift, w.slope)
		hours = larger(ha, hc)
		ok = ea < 0.4 && ec < 0.4 && hours < 0.9*w.left && math.Abs(shift) < 0.02
		if ok && pending && !p.cut && ea < 0.1 && ec < 0.1 && p.hours+s.worth(p, q,
			ea+ec)*hours > float64(s.cells[q.cell].key) {
			return
		}
		u, t := w.under-half, s.times[w.piece].slope
		switch {
		case !ok:
		case hc > ha && ec > 0.03:
			hours = s.c.refine(u, t, q.needC, hc)
		case hc <= ha && ea > 0.03:
			hours = s.a.refine(u, t, q.needA, ha)
		}
		sector = 0
		if hc > ha {
			sector = sectorC
		}
	}
	if !ok {
		t, c := s.times.reach(s.a, p.hours, q.needA, p.offset+half, w.piece),
			s.times.reach(s.c, p.hours, q.needC, p.offset+half, w.piece)
		hours, sector = larger(t, c)-p.hours, 0
		if c > t {
			sector = sectorC
		}
	}
	s.offerLocal(p, q, p.hours+hours, sector, pending, larger(1/w.slowA, 1/w.slowC))
}

// worth is the share of the series' time from which a claim is worth a closer look: cells that the
// same grain claimed already are left alone unless they gain more than 2e-4 of the way.
func (s *local) worth(p *form, q *candidate, change float64) float64 {
	if change < 0.06 && int32(s.cells[q.cell].owner>>8) == p.grain {
		return 1 - 2e-4
	}
	return 0.99
}

// offerLocal gives a cell to a form unless it has a better claim; sector says a or c face only.
func (s *local) offerLocal(p *form, q *candidate, hours float64, sector uint32, pending bool, rate float64) {
	if hours > s.end {
		return
	}
	switch {
	case hours <= s.grains[p.grain].key:
		sector = sectorSeed
	case sector == 0:
		sector = p.face(&q.y)
	case q.y[2] < 0:
		sector++
	}
	key := float32(larger(hours, p.hours))
	if pending && !s.prevails(key, q.cell, p, rate) {
		return
	}
	s.give(q.cell, key, p, q.side, sector)
}

// face is the a face that decides at a point.
func (p *form) face(y *[3]float64) uint32 {
	best, f := y[0]-p.faces[0], uint32(0)
	for i, d := range [3]float64{-y[0] - p.faces[1], y[1] - p.faces[2], -y[1] - p.faces[3]} {
		if d > best {
			best, f = d, uint32(i+1)
		}
	}
	return f
}

// prevails decides between a new claim and the one a cell has.
func (s *local) prevails(key float32, u uint32, p *form, rate float64) bool {
	old := &s.cells[u]
	if math.Abs(float64(key)-float64(old.key))*rate > tieWindow {
		return key < old.key
	}
	x, y, z := s.coordinates(u)
	if g := int32(old.owner >> 8); g != p.grain {
		if d := s.sideways(p.grain, x, y, z) - s.sideways(g, x, y, z); math.Abs(d) > tieWindow {
			return d < 0
		}
		d := s.distance(&s.boxes[s.grains[p.grain].box], x, y, z)
		e := s.distance(&s.boxes[s.grains[g].box], x, y, z)
		if math.Abs(d-e) > 1e-6 {
			return d < e
		}
		return p.grain < g
	}
	if other := s.claimant(u, x, y, z); other.cut != p.cut {
		return s.roomLocal(p, u, p.hours) < s.roomLocal(&other, u, p.hours)
	}
	return key < old.key
}

// sideways is how far a cell lies beside a grain's first box, along a and b: where two grains come
// together, as with c faces that started in one plane, the cell is that of the grain that was above
// it earlier.
func (s *local) sideways(grain int32, x, y, z int) float64 {
	g := &s.grains[grain]
	y0, y1, _ := s.frames[s.boxes[g.box].frame].coordinates(float64(x), float64(y), float64(z))
	return larger(math.Abs(y0)-g.root.Half[0], math.Abs(y1)-g.root.Half[1])
}

// roomLocal is how much of the window round a cell a record's form fills at an hour.
func (s *local) roomLocal(p *form, u uint32, hours float64) float64 {
	x, y, z := s.coordinates(u)
	axes := &s.grains[p.grain].root.Axes
	d := [3]float64{float64(x) - p.at[0], float64(y) - p.at[1], float64(z) - p.at[2]}
	la, lc := s.times.grown(s.a, p.hours, hours, p.offset), s.times.grown(s.c, p.hours, hours, p.offset)
	sum := 0.0
	for a, l := range [3]float64{la, la, lc} {
		m := float64(axes[3*a]*d[0]) + float64(axes[3*a+1]*d[1]) + float64(axes[3*a+2]*d[2])
		if !math.IsInf(p.faces[2*a], 1) {
			sum += math.Min(window, p.faces[2*a]+l-m) + math.Min(window, p.faces[2*a+1]+l+m)
		}
	}
	return sum
}
