package growth

import (
	"math"
)

// Under a gradient every place has its own undercooling and no clock is common: keys are hours. A
// captured cell remembers how far from it the six faces stood then, nowhere further than the
// window, and reaches its neighbours from there at the mean offset of the two cells. Without the
// window far faces, moved on with the local rate, would be wrong by several per cent. A pending
// cell knows its grain and on which side the cell that claimed it lies.

// form is the growth form as a captured cell, or the origin of a grain, saw it at its hour.
type form struct {
	faces  [6]float64 // outward distances from the place, cells
	at     [3]float64 // the place, cells
	hours  float64
	offset float64 // K, of the place
	grain  int32
	side   uint32 // how pending cells refer to it: see sideOf; fromOrigin for the origin
	cut    bool
}

const fromOrigin = 27

// page holds the faces that the cells of a block remember, in cells; cut forms have their bit set.
type page struct {
	faces [64][6]float32
	cut   uint64
}

// local is the state of a run under a gradient. It uses the lattice, the blocks and the queue of a
// front.
type local struct {
	*front
	times  timeline
	a, c   *rates
	flatK  []float64 // offset by outline cell: the radial part; nil where there is none
	depthK []float64 // by layer: the vertical part
	pages  []*page   // by block, while cells next to it may refer to it
	unused []*page
	busy   []uint8          // by block: how many of it and the blocks round it are not yet full
	turned [][27][3]float64 // per grain: lattice steps in its own axes
	end    float64
}

// offset of a cell, K.
func (s *local) offset(x, y, z int) float64 {
	if s.flatK == nil {
		return s.depthK[z]
	}
	if s.grid.Flat == 1 {
		return s.flatK[x] + s.depthK[z]
	}
	return s.flatK[y*s.grid.N[0]+x] + s.depthK[z]
}

func newLocal(sp *Space, bucket float64) *local {
	g := sp.grid
	s := &local{front: newFront(sp.lattice, nil, bucket), times: newTimeline(sp.cooling.Programme),
		end: sp.cooling.Programme.EndH()}
	s.flatK = make([]float64, g.N[0]*g.N[1])
	s.depthK = make([]float64, g.N[2])
	x, y, top := g.Centre(0, 0, g.N[2])
	top -= g.CellMM / 2
	low, least := 0.0, 0.0
	for j := range g.N[1] {
		for i := range g.N[0] {
			x, y, _ = g.Centre(i, j, 0)
			s.flatK[j*g.N[0]+i] = sp.cooling.Gradient.Offset(x, y, 0)
			low = math.Min(low, s.flatK[j*g.N[0]+i])
		}
	}
	for k := range g.N[2] {
		_, _, z := g.Centre(0, 0, k)
		if g.Flat != 2 {
			s.depthK[k] = sp.cooling.Gradient.Offset(0, 0, top-z)
		}
		least = math.Min(least, s.depthK[k])
	}
	if sp.cooling.Gradient.RadialKPerMM == 0 {
		s.flatK = nil
	}
	most := 1.0
	for _, k := range sp.cooling.Programme.Seen(low+least, low+least).GrowthKnots() {
		most = math.Max(most, k.UndercoolingK)
	}
	s.a, s.c = newRates(sp.a, g.CellMM, most), newRates(sp.c, g.CellMM, most)
	s.queue = newCalendar(bucket / math.Max(s.a.at(most), s.c.at(most)))
	s.settleIn()
	s.cells = make([]cell, s.size()*64)
	s.pages, s.busy = make([]*page, s.size()), make([]uint8, s.size())
	for b := range s.blocks {
		if s.blocks[b].in != 0 {
			s.eachRound(uint32(b), func(n uint32) { s.busy[n]++ })
		}
	}
	return s
}

// eachRound visits a block and those round it.
func (l *lattice) eachRound(b uint32, visit func(n uint32)) {
	l.eachStep(func(i, j, k int) { visit(uint32(int(b) + (k*l.count[1]+j)*l.count[0] + i)) })
}

// pageOf is the page of a block, made when first needed.
func (s *local) pageOf(b uint32) *page {
	if s.pages[b] == nil {
		if n := len(s.unused); n > 0 {
			s.pages[b], s.unused = s.unused[n-1], s.unused[:n-1]
			s.pages[b].cut = 0
		} else {
			s.pages[b] = new(page)
		}
	}
	return s.pages[b]
}

// full notes that a block is full, and gives back the pages nobody can refer to any more.
func (s *local) full(b uint32) {
	s.eachRound(b, func(n uint32) {
		if s.busy[n]--; s.busy[n] == 0 && s.pages[n] != nil {
			s.unused = append(s.unused, s.pages[n])
			s.pages[n] = nil
		}
	})
}

// plantLocal adds a grain and returns its index.
func (s *local) plantLocal(r Root) int {
	var t [27][3]float64
	for k := range t {
		d := [3]float64{float64(k%3 - 1), float64(k/3%3 - 1), float64(k/9 - 1)}
		for a := range t[k] {
			t[k][a] = float64(r.Axes[3*a]*d[0]) + float64(r.Axes[3*a+1]*d[1]) + float64(r.Axes[3*a+2]*d[2])
		}
	}
	s.turned = append(s.turned, t)
	g := grain{root: r, key: r.BornH, home: math.MaxUint32}
	if !r.Seed {
		g.home = s.number(r.Cell[0], r.Cell[1], r.Cell[2])
	}
	s.frames = append(s.frames, newFrame(r.Axes, r.At))
	s.boxes = append(s.boxes, box{frame: int32(len(s.frames) - 1)})
	g.box = uint32(len(s.boxes) - 1)
	s.grains = append(s.grains, g)
	return len(s.grains) - 1
}

// startLocal makes the first claims of a grain; false for a nucleus in solid.
func (s *local) startLocal(g int) bool {
	gr := &s.grains[g]
	p := s.origin(int32(g))
	if gr.root.Seed {
		s.claimSeed(gr, &p)
		return true
	}
	b, bit := &s.blocks[gr.home>>6], uint64(1)<<(gr.home&63)
	if b.solid&bit != 0 {
		return false
	}
	s.give(gr.home, float32(gr.root.BornH), &p, fromOrigin, sectorSeed)
	return true
}

// origin is the form of a grain at its birth.
func (s *local) origin(g int32) form {
	r := &s.grains[g].root
	p := form{at: r.At, hours: r.BornH, grain: g, side: fromOrigin}
	for f := range p.faces {
		p.faces[f] = r.Half[f/2]
	}
	at := s.inside(r.At)
	p.offset = s.offset(at[0], at[1], at[2])
	return p
}

func (s *local) claimSeed(gr *grain, p *form) {
	w := s.watch(p)
	s.around(gr, func(u uint32, y0, y1, y2 float64) {
		if s.blocks[u>>6].solid>>(u&63)&1 == 0 {
			x, y, z := s.coordinates(u)
			q := candidate{cell: u, side: fromOrigin, y: [3]float64{y0, y1, y2}, offset: s.offset(x, y, z)}
			q.needA, q.needC = p.needs(&q.y)
			s.claimLocal(&w, p, &q)
		}
	})
}

// inside is the cell nearest to a point.
func (s *local) inside(at [3]float64) (n [3]int) {
	for a := range n {
		n[a] = min(max(int(math.Floor(at[a]+0.5)), 0), s.grid.N[a]-1)
	}
	return n
}

// give books a claim: the owner word of a pending cell is grain·256 + side·8 + sector, where side
// 0..26 is the step from the claiming cell.
func (s *local) give(u uint32, key float32, p *form, side, sector uint32) {
	s.blocks[u>>6].claimed |= 1 << (u & 63)
	s.cells[u] = cell{key, uint32(p.grain)<<8 | side<<3 | sector}
	s.queue.push(key, u)
}

// claimant is the form that claimed pending cell u at (x, y, z).
func (s *local) claimant(u uint32, x, y, z int) form {
	owner := s.cells[u].owner
	g, side := int32(owner>>8), int(owner>>3&31)
	if side == fromOrigin {
		return s.origin(g)
	}
	x, y, z = x-(side%3-1), y-(side/3%3-1), z-(side/9-1)
	v := s.number(x, y, z)
	pg := s.pages[v>>6]
	p := form{at: [3]float64{float64(x), float64(y), float64(z)}, hours: float64(s.cells[v].key),
		offset: s.offset(x, y, z), grain: g, cut: pg.cut>>(v&63)&1 != 0}
	for f, d := range pg.faces[v&63] {
		p.faces[f] = float64(d)
	}
	return p
}

// captureLocal makes cell v solid; its own form follows from that of the cell that reached it.
func (s *local) captureLocal(v uint32, key float32) {
	x, y, z := s.coordinates(v)
	p := s.claimant(v, x, y, z)
	c := &s.cells[v]
	b := &s.blocks[v>>6]
	b.solid |= 1 << (v & 63)
	b.hold(s.grains[p.grain].box, 1<<(v&63))
	c.owner = uint32(p.grain)<<3 | c.owner&7
	s.captured++
	q := form{at: [3]float64{float64(x), float64(y), float64(z)}, hours: float64(key), offset: s.offset(x, y, z),
		grain: p.grain, cut: p.cut}
	s.moveOn(&p, &q)
	s.spreadLocal(v, [3]int{x, y, z}, &q)
	pg := s.pageOf(v >> 6)
	for f, d := range q.faces {
		pg.faces[v&63][f] = float32(d)
	}
	if q.cut {
		pg.cut |= 1 << (v & 63)
	}
	if b.solid == b.in {
		s.full(v >> 6)
	}
}

// moveOn fills in the faces of form q from p, which saw the same grain earlier from another place.
func (s *local) moveOn(p, q *form) {
	mean := 0.5 * (p.offset + q.offset)
	la := s.times.grown(s.a, p.hours, q.hours, mean)
	lc := s.times.grown(s.c, p.hours, q.hours, mean)
	gr := &s.grains[p.grain]
	limit := window
	if q.hours <= gr.key+1e-9 { // inside the seed
		limit = math.Inf(1)
	}
	d := [3]float64{q.at[0] - p.at[0], q.at[1] - p.at[1], q.at[2] - p.at[2]}
	for a, l := range [3]float64{la, la, lc} {
		e := gr.root.Axes[3*a : 3*a+3]
		m := float64(e[0]*d[0]) + float64(e[1]*d[1]) + float64(e[2]*d[2])
		if math.IsInf(p.faces[2*a], 1) {
			q.faces[2*a], q.faces[2*a+1] = p.faces[2*a], p.faces[2*a]
			continue
		}
		q.faces[2*a] = smaller(limit, p.faces[2*a]+l-m)
		q.faces[2*a+1] = smaller(limit, p.faces[2*a+1]+l+m)
	}
}

func smaller(a, b float64) float64 {
	if a < b {
		return a
	}
	return b
}
