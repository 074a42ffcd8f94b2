package growth

import "math"

// probe is a captured cell: where, by whom, when, through which face and where that looks.
type probe struct {
	at            [3]float64
	cell          [3]int
	key           float64
	grain, sector uint32
	normal        [3]float64
}

// probe of a solid cell; false for one that is not of the body. The cell may lie next to the grid.
func (f *Field) probe(x, y, z int) (p probe, ok bool) {
	s := f.front
	key, grain, sector, ok := s.capturedBy(s.number(x, y, z))
	p = probe{at: [3]float64{float64(x), float64(y), float64(z)}, cell: [3]int{x, y, z}, key: float64(key), grain: grain,
		sector: sector}
	if ok && sector != sectorSeed {
		axes := &s.frames[s.boxes[s.grains[p.grain].box].frame].axes
		for a := range p.normal {
			p.normal[a] = float64(1-2*int(p.sector&1)) * axes[3*int(p.sector/2)+a]
		}
	}
	return p, ok
}

// later is the key at which the face that captured a cell has gone d cells on.
func (f *Field) later(p *probe, d float64) float64 {
	switch l := f.local; {
	case p.sector == sectorSeed:
		return p.key
	case l != nil:
		r := l.a
		if p.sector >= sectorC {
			r = l.c
		}
		u := l.times[l.times.find(p.key)].undercooling(p.key) - l.offset(p.cell[0], p.cell[1], p.cell[2])
		return p.key + d/math.Max(r.at(u), 1e-9)
	case p.sector < sectorC:
		return p.key + d
	}
	return f.front.clock.fromC(f.front.clock.cLength(p.key) + d)
}

// when is the key at which that face gets to a place.
func (f *Field) when(p *probe, to [3]float64) float64 {
	d := 0.0
	for a, n := range p.normal {
		d += float64(n * (to[a] - p.at[a]))
	}
	return f.later(p, d)
}

// together tells whether two cells were captured by one front: neither face was at the other cell
// after it was captured.
func (f *Field) together(p, q *probe) bool {
	const tolerance = 0.02 // cells
	return p.grain == q.grain && f.when(p, q.at) <= f.later(q, tolerance) && f.when(q, p.at) <= f.later(p, tolerance)
}
