package growth

import (
	"math"
	"math/bits"
)

// Under a gradient every place has its own undercooling and no clock is common: keys are hours. A captured cell keeps a
// record of how far from it the six faces stood then, nowhere further than the window, and reaches its neighbours from
// there at the mean offset of the two cells. Without the window far faces, moved on with the local rate, would be wrong by
// several per cent.

// record is the growth form as a captured cell, or the origin of a grain, saw it.
type record struct {
	faces  [6]float64 // outward distances from the place at that hour, cells
	at     [3]float64 // the place, cells
	hours  float64
	offset float64 // K, of the place
	grain  int32
	claims int32 // pending cells that refer to it; 0 = free
	cut    bool
}

// local is the state of a run under a gradient. It uses the lattice, the blocks and the queue of a front.
type local struct {
	*front
	times   timeline
	a, c    *rates
	flatK   []float64 // offset by outline cell: the radial part
	depthK  []float64 // by layer: the vertical part
	records []record
	spare   []uint32
	turned  [][27][3]float64 // per grain: lattice steps in its own axes
	end     float64
}

// offset of a cell, K.
func (s *local) offset(x, y, z int) float64 {
	if s.grid.Flat == 1 {
		return s.flatK[x] + s.depthK[z]
	}
	return s.flatK[y*s.grid.N[0]+x] + s.depthK[z]
}

func newLocal(sp Space, l *lattice, bucket float64) *local {
	g := sp.Grid
	s := &local{front: newFront(l, nil, bucket), times: newTimeline(sp.Programme), end: sp.Programme.EndH()}
	s.flatK = make([]float64, g.N[0]*g.N[1])
	s.depthK = make([]float64, g.N[2])
	x, y, top := g.Centre(0, 0, g.N[2])
	top -= g.CellMM / 2
	low, least := 0.0, 0.0
	for j := range g.N[1] {
		for i := range g.N[0] {
			x, y, _ = g.Centre(i, j, 0)
			s.flatK[j*g.N[0]+i] = sp.Gradient.Offset(x, y, 0)
			low = math.Min(low, s.flatK[j*g.N[0]+i])
		}
	}
	for k := range g.N[2] {
		_, _, z := g.Centre(0, 0, k)
		if g.Flat != 2 {
			s.depthK[k] = sp.Gradient.Offset(0, 0, top-z)
		}
		least = math.Min(least, s.depthK[k])
	}
	most := 1.0
	for _, k := range sp.Programme.GrowthKnots() {
		most = math.Max(most, k.UndercoolingK-low-least)
	}
	s.a, s.c = newRates(sp.A, g.CellMM, most), newRates(sp.C, g.CellMM, most)
	s.queue = newCalendar(bucket / math.Max(s.a.at(most), s.c.at(most)))
	s.cells = make([]cell, l.size()*64)
	return s
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
	r := s.newRecord()
	p := &s.records[r]
	*p = record{at: gr.root.At, hours: gr.root.BornH, grain: int32(g), claims: 1}
	for f := range p.faces {
		p.faces[f] = gr.root.Half[f/2]
	}
	at := s.inside(gr.root.At)
	p.offset = s.offset(at[0], at[1], at[2])
	born := true
	if gr.root.Seed {
		s.around(gr, func(u uint32, y0, y1, y2 float64) {
			s.claimFrom(r, u, [3]float64{y0, y1, y2}, s.times.find(gr.root.BornH))
		})
	} else if b, bit := &s.blocks[gr.home>>6], uint64(1)<<(gr.home&63); b.solid&bit == 0 {
		if b.claimed&bit != 0 {
			s.forgetClaim(s.cells[gr.home].owner >> 3)
		}
		s.give(gr.home, float32(gr.root.BornH), r, sectorSeed)
	} else {
		born = false
	}
	s.forgetClaim(r)
	return born
}

// inside is the cell nearest to a point.
func (s *local) inside(at [3]float64) (n [3]int) {
	for a := range n {
		n[a] = min(max(int(math.Floor(at[a]+0.5)), 0), s.grid.N[a]-1)
	}
	return n
}

func (s *local) newRecord() uint32 {
	if n := len(s.spare); n > 0 {
		r := s.spare[n-1]
		s.spare = s.spare[:n-1]
		return r
	}
	s.records = append(s.records, record{})
	return uint32(len(s.records) - 1)
}

func (s *local) forgetClaim(r uint32) {
	p := &s.records[r]
	if p.claims--; p.claims == 0 {
		s.spare = append(s.spare, r)
	}
}

func (s *local) give(u uint32, key float32, r, sector uint32) {
	s.blocks[u>>6].claimed |= 1 << (u & 63)
	s.records[r].claims++
	s.cells[u] = cell{key, r<<3 | sector}
	s.queue.push(key, u)
}

// captureLocal makes cell v solid; its own record follows from that of the cell that reached it.
func (s *local) captureLocal(v uint32, key float32) {
	c := &s.cells[v]
	from := c.owner >> 3
	p := s.records[from]
	s.blocks[v>>6].solid |= 1 << (v & 63)
	s.blocks[v>>6].hold(uint32(s.grains[p.grain].box), 1<<(v&63))
	c.owner = uint32(p.grain)<<3 | c.owner&7
	s.captured++
	x, y, z := s.coordinates(v)
	r := s.newRecord()
	q := &s.records[r]
	*q = record{at: [3]float64{float64(x), float64(y), float64(z)}, hours: float64(key), offset: s.offset(x, y, z), grain: p.grain, claims: 1, cut: p.cut}
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
		q.faces[2*a] = math.Min(limit, p.faces[2*a]+l-m)
		q.faces[2*a+1] = math.Min(limit, p.faces[2*a+1]+l+m)
	}
	s.forgetClaim(from)
	s.spreadLocal(v, [3]int{x, y, z}, r)
	s.forgetClaim(r)
}

// spreadLocal claims the liquid neighbours of v; where some are overdue, the record's faces are pulled in first.
func (s *local) spreadLocal(v uint32, at [3]int, r uint32) {
	p := &s.records[r]
	own := s.grains[p.grain].box
	turned := &s.turned[p.grain]
	n, late := 0, false
	for i := range s.near[v&63] {
		g := &s.near[v&63][i]
		nb := uint32(int32(v>>6) + g.block)
		b := &s.blocks[nb]
		holes := uint64(0)
		if s.hole != nil {
			holes = g.mask & s.hole[nb]
		}
		x0, y0, z0 := s.corner(nb)
		for m := g.mask&b.in&^b.of(own) | holes; m != 0; m &= m - 1 {
			c := uint32(bits.TrailingZeros64(m))
			i, j, k := s.place(c)
			q := &s.scratch[n&31]
			q.cell, q.y = nb<<6|c, turned[x0+i-at[0]+1+3*(y0+j-at[1]+1)+9*(z0+k-at[2]+1)]
			q.foreign = holes>>c&1 != 0 || b.solid>>c&1 != 0
			if q.foreign && holes>>c&1 == 0 && !b.knows(own) && int32(s.cells[q.cell].owner>>3) == p.grain {
				continue
			}
			q.overdue = s.overdue(p, q)
			late = late || q.overdue
			if q.overdue || !q.foreign {
				n++
			}
		}
	}
	if late {
		s.pullIn(p, s.scratch[:n])
	}
	k := s.times.find(p.hours)
	for i := range s.scratch[:n] {
		if q := &s.scratch[i]; !q.foreign {
			s.claimFrom(r, q.cell, q.y, k)
		}
	}
}

// overdue tells whether a neighbour lies inside the form though it is not the grain's; late liquid counts once the form is
// thick enough for the mesh.
func (s *local) overdue(p *record, q *candidate) bool {
	a, c := p.needs(&q.y)
	if a >= -slack || c >= -slack {
		return false
	}
	if q.foreign {
		return true
	}
	if p.hours <= s.grains[p.grain].key+1e-9 {
		return false
	}
	deep := 2*thick - 2*math.Max(a, c)
	return p.faces[0]+p.faces[1] > deep && p.faces[2]+p.faces[3] > deep && p.faces[4]+p.faces[5] > deep
}

// needs are how far the a and the c faces have still to go to a point.
func (p *record) needs(y *[3]float64) (a, c float64) {
	a = larger(larger(y[0]-p.faces[0], -y[0]-p.faces[1]), larger(y[1]-p.faces[2], -y[1]-p.faces[3]))
	return a, larger(y[2]-p.faces[4], -y[2]-p.faces[5])
}

func (s *local) pullIn(p *record, list []candidate) {
	p.cut = true
	for i := range list {
		q := &list[i]
		if !q.overdue {
			continue
		}
		share := 0.0
		if q.foreign {
			share = 0.5
		}
		for a, d := range q.y {
			f := 2 * a
			if d < 0 {
				f, d = f+1, -d
			}
			if d >= sideways {
				p.faces[f] = math.Min(p.faces[f], share*d)
			}
		}
	}
	for f := range p.faces {
		if !math.IsInf(p.faces[f], 1) {
			p.faces[f] = math.Min(p.faces[f], window)
		}
	}
}

// claimFrom lets record r claim a liquid cell that lies at y from it in the grain's axes.
func (s *local) claimFrom(r, u uint32, y [3]float64, k int) {
	p := &s.records[r]
	b, bit := &s.blocks[u>>6], uint64(1)<<(u&63)
	needA, needC := p.needs(&y)
	pending := b.claimed&bit != 0
	if b.solid&bit != 0 {
		return
	}
	piece := &s.times[k]
	under := piece.undercooling(p.hours) - p.offset
	rateA, rateC := s.a.at(under), s.c.at(under)
	if pending && !p.cut && float64(s.cells[u].key) < p.hours+0.9*larger(needA/rateA, needC/rateC) && piece.to > float64(s.cells[u].key) && piece.slope*float64(s.cells[u].key-float32(p.hours)) < 0.02*under {
		return
	}
	x, yy, z := s.coordinates(u)
	mean := 0.5 * (p.offset + s.offset(x, yy, z))
	t := s.times.reach(s.a, p.hours, needA, mean, k)
	sector := p.face(&y)
	if tc := s.times.reach(s.c, p.hours, needC, mean, k); tc > t {
		t, sector = tc, sectorC
		if y[2] < 0 {
			sector++
		}
	}
	if t > s.end {
		return
	}
	if t <= s.grains[p.grain].key {
		sector = sectorSeed
	}
	key := float32(math.Max(t, p.hours))
	if !pending {
		s.give(u, key, r, sector)
		return
	}
	old := s.cells[u]
	if !s.prevails(key, u, p, &old, larger(rateA, rateC)) {
		return
	}
	s.forgetClaim(old.owner >> 3)
	s.give(u, key, r, sector)
}

// face is the a face that decides at a point.
func (p *record) face(y *[3]float64) uint32 {
	best, f := y[0]-p.faces[0], uint32(0)
	for i, d := range [3]float64{-y[0] - p.faces[1], y[1] - p.faces[2], -y[1] - p.faces[3]} {
		if d > best {
			best, f = d, uint32(i+1)
		}
	}
	return f
}

// prevails decides between a new claim and the one a cell has.
func (s *local) prevails(key float32, u uint32, p *record, old *cell, rate float64) bool {
	other := &s.records[old.owner>>3]
	if math.Abs(float64(key)-float64(old.key))*rate > tieWindow {
		return key < old.key
	}
	if other.grain == p.grain {
		if other.cut != p.cut {
			return s.roomLocal(p, u, p.hours) < s.roomLocal(other, u, p.hours)
		}
		return key < old.key
	}
	x, y, z := s.coordinates(u)
	d := s.distance(&s.boxes[s.grains[p.grain].box], x, y, z)
	e := s.distance(&s.boxes[s.grains[other.grain].box], x, y, z)
	if math.Abs(d-e) > 1e-6 {
		return d < e
	}
	return p.grain < other.grain
}

// roomLocal is how much of the window round a cell a record's form fills at an hour.
func (s *local) roomLocal(p *record, u uint32, hours float64) float64 {
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
