package growth

import "math"

// run is the order of events: cells from the queue, certified blocks that begin to claim their
// surroundings, nuclei.
type run struct {
	*front
	pull    func() (Root, bool)
	sow     func(Root) int              // plants a grain
	start   func(g int) bool            // lets it claim its first cells
	capture func(v uint32, key float32) // makes a cell solid
	end     float64                     // no key lies beyond
	done    bool                        // pull has no more
	ahead   []int                       // grains of the nuclei asked for
	given   int                         // how many of them have come
	born    []int                       // per nucleus asked for: its grain, or -1
	left    int                         // liquid cells outside certified blocks

	last     float64  // key of the last capture
	touched  uint64   // what touch read, so that it is read
	sleeping []uint64 // certified blocks still to be woken, as queue entries
}

// foresee plants the nuclei that come before the seeds alone could have filled the body: the
// certificate has to know them. Later ones are asked for when they are due. Without seeds nothing
// is certified and nothing has to be foreseen.
func (r *run) foresee() {
	if len(r.grains) == 0 || r.grid.Periodic {
		return
	}
	horizon := r.horizon()
	for len(r.ahead) == 0 || certifyFew*len(r.grains) <= r.total { // one at least: see alone
		if g := r.fetch(); g < 0 || r.grains[g].key > horizon {
			return
		}
	}
}

// fetch plants the next nucleus and returns its grain, -1 when there is none.
func (r *run) fetch() int {
	if r.done || r.pull == nil {
		return -1
	}
	root, ok := r.pull()
	if !ok {
		r.done = true
		return -1
	}
	g := r.sow(root)
	r.ahead, r.born = append(r.ahead, g), append(r.born, -1)
	return g
}

// horizon is a key at which the free box of some seed would cover the whole body.
func (r *run) horizon() float64 {
	c := &certifier{front: r.front}
	var whole span
	for a, n := range r.grid.N {
		whole.at[a], whole.half[a] = float64(n-1)/2, float64(n)/2
	}
	last := math.Inf(1)
	for g := range r.grains {
		_, late := c.bounds(&whole, r.grains[g].box)
		last = math.Min(last, late)
	}
	return last
}

const never = math.MaxUint64

// loop lets everything happen. Certified cells count as no liquid from the beginning, so that
// nuclei may still be to come when none is left, among them those that certified cells belong to.
func (r *run) loop() {
	r.events()
	for r.given < len(r.ahead) {
		r.nucleate()
	}
}

// events takes whatever comes first until no liquid is left or nothing can come any more.
func (r *run) events() {
	for r.left > 0 {
		nucleus, block := r.nextNucleus(), uint64(never)
		if len(r.sleeping) > 0 {
			block = r.sleeping[0]
		}
		e, ok := r.queue.peek()
		if !ok {
			if r.queue.next(min(r.bucket(nucleus), r.bucket(block), r.bucket(entry(float32(r.end), 0))+1)) {
				continue
			}
			e = never
		}
		switch {
		case block <= e && block <= nucleus && block != never:
			r.sleeping = r.sleeping[1:]
			r.wake(uint32(block))
		case nucleus <= e && nucleus != never:
			r.nucleate()
		case e == never:
			return
		default:
			r.queue.drop()
			if r.queue.at&(batch-1) == 0 {
				r.touch()
			}
			r.settle(uint32(e), keyOf(e))
		}
	}
}

const batch = 8

// touch loads what the cells after the next will need, many loads at once; one by one, each would
// wait for memory.
func (r *run) touch() {
	sum := uint64(0)
	for _, e := range r.queue.ahead(2*batch, batch) {
		v := uint32(e)
		for i := range r.near[v&63] {
			sum += r.blocks[int32(v>>6)+r.near[v&63][i].block].claimed
		}
		sum += uint64(r.cells[v].owner)
	}
	for _, e := range r.queue.ahead(batch, batch) {
		v := uint32(e)
		near := r.near[v&63]
		for i := range near {
			g := &near[i]
			n := uint32(int32(v>>6) + g.block)
			if b := &r.blocks[n]; b.lead[1] == 0 && b.held[0] == b.claimed {
				continue // no need to look at its cells
			}
			for _, c := range g.lines {
				sum += uint64(r.cells[n<<6|uint32(c)].owner)
			}
		}
	}
	r.touched += sum
}

func (r *run) bucket(e uint64) int {
	if e == never {
		return math.MaxInt
	}
	return r.queue.number(keyOf(e))
}

// settle captures a cell unless the entry has been overtaken by a better claim.
func (r *run) settle(v uint32, key float32) {
	if b := &r.blocks[v>>6]; b.known>>(v&63)&1 == 0 {
		if b.solid>>(v&63)&1 != 0 || r.cells[v].key != key {
			return
		}
		r.left--
		r.last = larger(r.last, float64(key)) // cells certified by themselves may be later
	}
	r.capture(v, key)
}

// nextNucleus is the entry of the nucleus that comes next; cells of the same key go before it.
func (r *run) nextNucleus() uint64 {
	if r.given == len(r.ahead) && r.fetch() < 0 {
		return never
	}
	return entry(float32(r.grains[r.ahead[r.given]].key), math.MaxUint32)
}

func (r *run) nucleate() {
	g := r.ahead[r.given]
	if r.start(g) {
		r.born[r.given] = g
	} else if g == len(r.grains)-1 {
		r.uproot()
	}
	r.given++
}

// uproot removes the last grain planted, a void nucleus that nothing refers to.
func (s *front) uproot() {
	g := len(s.grains) - 1
	b := s.grains[g].box
	if s.clock == nil || int(b) != len(s.boxes)-1 || int(s.boxes[b].frame) != len(s.frames)-1 {
		return
	}
	s.boxes, s.frames, s.shifts, s.grains = s.boxes[:b], s.frames[:len(s.frames)-1], s.shifts[:len(s.frames)-1],
		s.grains[:g]
}

// fullBy is a key by which all of the body is solid, +Inf if some of it stays liquid.
func (r *run) fullBy() float64 {
	if r.left > 0 {
		return math.Inf(1)
	}
	return larger(r.last, r.lastOf(func(b int) (id uint32, ok bool) {
		return r.blocks[b].proof - 1, r.blocks[b].proof != 0
	}))
}
