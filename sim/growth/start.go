package growth

import "math"

// Root is the start of a grain: a seed, or a nucleus with zero half widths.
type Root struct {
	At    [3]float64 // cells, from the centre of cell (0, 0, 0)
	Half  [3]float64 // half widths along its own a, b, c, cells; +Inf along a flat axis
	Axes  [9]float64 // rows: unit vectors a, b, c
	BornH float64
	Seed  bool
	Cell  [3]int // of a nucleus: the cell that holds it
}

type grain struct {
	root Root
	key  float64 // at birth
	box  uint32  // the root box
	home uint32  // the cell of a nucleus, solid at birth
}

// plant adds a grain with its root box and returns its index.
func (s *front) plant(r Root, key float64) int {
	l := s.clock.lengths(key)
	b := box{grain: int32(len(s.grains)), frame: int32(len(s.frames)), own: uint32(len(s.boxes)), root: true,
		resolved: key}
	for f := range b.faces {
		b.faces[f] = r.Half[f/2] - l[f/2]
		need := thick - b.faces[f]
		if f >= sectorC {
			need = s.clock.fromC(need)
		}
		b.resolved = math.Max(b.resolved, need+slack)
	}
	s.addFrame(newFrame(r.Axes, r.At), [3]int8{})
	g := grain{root: r, key: key, box: uint32(len(s.boxes)), home: math.MaxUint32}
	if !r.Seed {
		g.home = s.number(r.Cell[0], r.Cell[1], r.Cell[2])
	}
	s.grains = append(s.grains, g)
	s.boxes = append(s.boxes, b)
	return len(s.grains) - 1
}

// start claims the first cells of grain g at its birth: the cell of a nucleus, or the cells in and
// next to a seed. It returns false for a nucleus in a cell that is solid.
func (s *front) start(g int) bool {
	gr := &s.grains[g]
	key := float32(gr.key)
	if !gr.root.Seed {
		return s.startNucleus(gr, key)
	}
	b := &s.boxes[gr.box]
	s.around(gr, func(u uint32, y0, y1, y2 float64) {
		if q := &s.blocks[u>>6]; q.proof != 0 || q.solid>>(u&63)&1 != 0 {
			return
		}
		t, sector := s.clock.claim(b, y0, y1, y2)
		if t <= gr.key {
			t, sector = gr.key, sectorSeed
		}
		s.offer(&candidate{cell: u, key: t, sector: sector, y: [3]float64{y0, y1, y2}}, gr.box, key)
	})
	return true
}

// certain tells whether a nucleus is known to be a grain: its own cell is certified for it.
func (s *front) certain(g *grain) bool {
	if s.blocks[g.home>>6].known>>(g.home&63)&1 == 0 {
		return false
	}
	_, grain, _, _ := s.capturedBy(g.home)
	return s.grains[grain].box == g.box
}

func (s *front) startNucleus(gr *grain, key float32) bool {
	if s.certain(gr) {
		return true
	}
	if t, _, _, ok := s.capturedBy(gr.home); ok && t <= key {
		return false
	}
	s.take(gr.home, key, gr.box, sectorSeed)
	return true
}

// around visits the cells of the body within one cell of a seed's box.
func (s *front) around(gr *grain, visit func(u uint32, y0, y1, y2 float64)) {
	f := &s.frames[s.boxes[gr.box].frame]
	lo, hi := gr.reach(s.grid.N, 1)
	for z := lo[2]; z <= hi[2]; z++ {
		for y := lo[1]; y <= hi[1]; y++ {
			for x := lo[0]; x <= hi[0]; x++ {
				u := s.number(x, y, z)
				y0, y1, y2 := f.coordinates(float64(x), float64(y), float64(z))
				if s.blocks[u>>6].in>>(u&63)&1 != 0 && gr.within(1, y0, y1, y2) {
					visit(u, y0, y1, y2)
				}
			}
		}
	}
}

// within tells whether a point of its frame lies in the grain's first box enlarged by a margin.
func (g *grain) within(margin, y0, y1, y2 float64) bool {
	h := &g.root.Half
	return math.Abs(y0) <= h[0]+margin && math.Abs(y1) <= h[1]+margin && math.Abs(y2) <= h[2]+margin
}

// reach is the range of cells, within the grid, that the first box with a margin can touch.
func (g *grain) reach(n [3]int, margin float64) (lo, hi [3]int) {
	for a := range n {
		r := 0.0
		for i := 0; i < 3; i++ {
			if h := g.root.Half[i] + margin; !math.IsInf(h, 1) {
				r += float64(math.Abs(g.root.Axes[3*i+a]) * h)
			}
		}
		lo[a] = max(0, int(math.Floor(g.root.At[a]-r)))
		hi[a] = min(n[a]-1, int(math.Ceil(g.root.At[a]+r)))
	}
	return lo, hi
}
