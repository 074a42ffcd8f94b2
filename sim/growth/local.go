package growth

import (
	"math"
	"math/bits"
)

// Under a gradient every place has its own undercooling and no clock is common: keys are hours. A captured cell remembers
// how far from it the six faces stood then, nowhere further than the window, and reaches its neighbours from there at the
// mean offset of the two cells. Without the window far faces, moved on with the local rate, would be wrong by several per
// cent. A pending cell knows its grain and on which side the cell that claimed it lies.

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

// local is the state of a run under a gradient. It uses the lattice, the blocks and the queue of a front.
type local struct {
	*front
	times  timeline
	a, c   *rates
	flatK  []float64 // offset by outline cell: the radial part
	depthK []float64 // by layer: the vertical part
	pages  []*page   // by block, while cells next to it may refer to it
	unused []*page
	busy   []uint8          // by block: how many of it and the blocks round it are not yet full
	turned [][27][3]float64 // per grain: lattice steps in its own axes
	end    float64
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
	for z := -l.rim[2]; z <= l.rim[2]; z++ {
		for y := -l.rim[1]; y <= l.rim[1]; y++ {
			for x := -l.rim[0]; x <= l.rim[0]; x++ {
				visit(uint32(int(b) + (z*l.count[1]+y)*l.count[0] + x))
			}
		}
	}
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

// give books a claim: the owner word of a pending cell is grain·256 + side·8 + sector, where side 0..26 is the step from
// the claiming cell.
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
	p := form{at: [3]float64{float64(x), float64(y), float64(z)}, hours: float64(s.cells[v].key), offset: s.offset(x, y, z), grain: g, cut: pg.cut>>(v&63)&1 != 0}
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
	q := form{at: [3]float64{float64(x), float64(y), float64(z)}, hours: float64(key), offset: s.offset(x, y, z), grain: p.grain, cut: p.cut}
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

// spreadLocal claims the liquid neighbours of v; where some are overdue, the record's faces are pulled in first.
func (s *local) spreadLocal(v uint32, at [3]int, p *form) {
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
			q.cell, q.foreign, q.side = nb<<6|c, (holes|b.solid)>>c&1 != 0, uint32(i-at[0]+3*(j-at[1])+9*(k-at[2])+13)
			q.y = turned[q.side]
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
			s.claimLocal(&w, p, q)
		}
	}
}

// overdue tells whether a neighbour lies inside the form though it is not the grain's; late liquid counts once the form is
// thick enough for the mesh.
func (s *local) overdue(p *form, q *candidate) bool {
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
func (p *form) needs(y *[3]float64) (a, c float64) {
	a = larger(larger(y[0]-p.faces[0], -y[0]-p.faces[1]), larger(y[1]-p.faces[2], -y[1]-p.faces[3]))
	return a, larger(y[2]-p.faces[4], -y[2]-p.faces[5])
}

func (s *local) pullIn(p *form, list []candidate) {
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
		if ok && pending && !p.cut && ea < 0.1 && ec < 0.1 && p.hours+s.worth(p, q, ea+ec)*hours > float64(s.cells[q.cell].key) {
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
		t, c := s.times.reach(s.a, p.hours, q.needA, p.offset+half, w.piece), s.times.reach(s.c, p.hours, q.needC, p.offset+half, w.piece)
		hours, sector = larger(t, c)-p.hours, 0
		if c > t {
			sector = sectorC
		}
	}
	s.offerLocal(p, q, p.hours+hours, sector, pending, larger(1/w.slowA, 1/w.slowC))
}

// worth is the share of the series' time from which a claim is worth a closer look: cells that the same grain claimed
// already are left alone unless they gain more than 2e-4 of the way.
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
