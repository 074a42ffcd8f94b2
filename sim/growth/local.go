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

func newLocal(sp *Space, bucket float64) *local {
	g := sp.grid
	s := &local{front: newFront(sp.lattice, nil, bucket), times: newTimeline(sp.programme), end: sp.programme.EndH()}
	s.flatK = make([]float64, g.N[0]*g.N[1])
	s.depthK = make([]float64, g.N[2])
	x, y, top := g.Centre(0, 0, g.N[2])
	top -= g.CellMM / 2
	low, least := 0.0, 0.0
	for j := range g.N[1] {
		for i := range g.N[0] {
			x, y, _ = g.Centre(i, j, 0)
			s.flatK[j*g.N[0]+i] = sp.gradient.Offset(x, y, 0)
			low = math.Min(low, s.flatK[j*g.N[0]+i])
		}
	}
	for k := range g.N[2] {
		_, _, z := g.Centre(0, 0, k)
		if g.Flat != 2 {
			s.depthK[k] = sp.gradient.Offset(0, 0, top-z)
		}
		least = math.Min(least, s.depthK[k])
	}
	most := 1.0
	for _, k := range sp.programme.GrowthKnots() {
		most = math.Max(most, k.UndercoolingK-low-least)
	}
	s.a, s.c = newRates(sp.a, g.CellMM, most), newRates(sp.c, g.CellMM, most)
	s.queue = newCalendar(bucket / math.Max(s.a.at(most), s.c.at(most)))
	s.cells = make([]cell, s.size()*64)
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
		s.claimSeed(gr, r)
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

func (s *local) claimSeed(gr *grain, r uint32) {
	w := s.watch(&s.records[r])
	s.around(gr, func(u uint32, y0, y1, y2 float64) {
		if s.blocks[u>>6].solid>>(u&63)&1 == 0 {
			x, y, z := s.coordinates(u)
			q := candidate{cell: u, y: [3]float64{y0, y1, y2}, offset: s.offset(x, y, z)}
			q.needA, q.needC = s.records[r].needs(&q.y)
			s.claimLocal(&w, r, &q)
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
	x0, y0, z0 := s.corner(v >> 6)
	near := s.near[v&63]
	for i := range near {
		g := &near[i]
		nb := uint32(int32(v>>6) + g.block)
		b := &s.blocks[nb]
		m, holes := g.mask&b.in&^b.of(own), uint64(0)
		if s.hole != nil {
			holes = g.mask & s.hole[nb]
		}
		if m|holes == 0 {
			continue
		}
		known := b.knows(own)
		x1, y1, z1 := x0+int(g.step[0])<<s.shift[0], y0+int(g.step[1])<<s.shift[1], z0+int(g.step[2])<<s.shift[2]
		for m |= holes; m != 0; m &= m - 1 {
			c := uint32(bits.TrailingZeros64(m))
			i, j, k := s.place(c)
			i, j, k = i+x1, j+y1, k+z1
			q := &s.scratch[n&31]
			q.cell, q.foreign, q.y = nb<<6|c, (holes|b.solid)>>c&1 != 0, turned[i-at[0]+3*(j-at[1])+9*(k-at[2])+13]
			if q.foreign && holes>>c&1 == 0 && !known && int32(s.cells[q.cell].owner>>3) == p.grain {
				continue
			}
			q.needA, q.needC = p.needs(&q.y)
			if q.overdue = s.overdue(p, q); q.overdue {
				late = true
			} else if q.foreign {
				continue
			}
			if !q.foreign {
				q.offset = s.offset(i, j, k)
			}
			n++
		}
	}
	if late {
		s.pullIn(p, s.scratch[:n])
	}
	w := s.watch(p)
	for i := range s.scratch[:n] {
		if q := &s.scratch[i]; !q.foreign {
			if late {
				q.needA, q.needC = p.needs(&q.y)
			}
			s.claimLocal(&w, r, q)
		}
	}
}

// overdue tells whether a neighbour lies inside the form though it is not the grain's; late liquid counts once the form is
// thick enough for the mesh.
func (s *local) overdue(p *record, q *candidate) bool {
	if q.needA >= -slack || q.needC >= -slack {
		return false
	}
	if q.foreign {
		return true
	}
	if p.hours <= s.grains[p.grain].key+1e-9 {
		return false
	}
	deep := 2*thick - 2*larger(q.needA, q.needC)
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

// watch is what all claims from one record share: the piece of the programme and, at the record's place and hour, the
// undercooling, the rates and their exponents.
type watch struct {
	piece          int
	under, slope   float64 // K, relative change of ΔT per hour
	left           float64 // hours to the end of the piece
	slowA, slowC   float64 // hours per cell
	powerA, powerC float64
}

func (s *local) watch(p *record) watch {
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

// guess is the time a face needs, by the series in the offset of the neighbour and in the change of ΔT, and how large the
// latter is.
func guess(need, slow, power, offset, slope float64) (hours, change float64) {
	if need <= 0 {
		return 0, 0
	}
	h := need * slow * (1 + power*offset*(1+0.5*(power+1)*offset))
	e := power * slope * h
	m := slope * h
	return h * (1 - 0.5*e*(1-float64((2*power+1)*m)*(1.0/3-float64((3*power+1)*m)/12))), math.Abs(e)
}

// claimLocal lets record r claim a liquid cell.
func (s *local) claimLocal(w *watch, r uint32, q *candidate) {
	p := &s.records[r]
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
		if ok && pending && !p.cut && p.hours+0.99*hours > float64(s.cells[q.cell].key) && ea < 0.1 && ec < 0.1 {
			return
		}
		u, t := w.under-half, s.times[w.piece].slope
		switch {
		case !ok:
		case hc > ha && ec > 0.01:
			hours = s.c.refine(u, t, q.needC, hc)
		case hc <= ha && ea > 0.01:
			hours = s.a.refine(u, t, q.needA, ha)
		}
		sector = 0
		if hc > ha {
			sector = sectorC
		}
	}
	if !ok {
		t, c := s.times.reach(s.a, p.hours, q.needA, p.offset+half, w.piece), s.times.reach(s.c, p.hours, q.needC, p.offset+half, w.piece)
		hours, sector = larger(t, c)-p.hours, 0
		if c > t {
			sector = sectorC
		}
	}
	s.offerLocal(r, q, p.hours+hours, sector, pending, larger(1/w.slowA, 1/w.slowC))
}

// offerLocal gives a cell to record r unless it has a better claim; sector says a or c face only.
func (s *local) offerLocal(r uint32, q *candidate, hours float64, sector uint32, pending bool, rate float64) {
	p := &s.records[r]
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
	if pending {
		old := s.cells[q.cell]
		if !s.prevails(key, q.cell, p, &old, rate) {
			return
		}
		s.forgetClaim(old.owner >> 3)
	}
	s.give(q.cell, key, r, sector)
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
