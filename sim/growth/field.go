package growth

import "math"

// Cell is what the field knows of a cell.
type Cell struct {
	Grain  int32   // index of the grain, Liquid, or NoBody
	Sector uint8   // face that captured it: 0 +a, 1 −a, 2 +b, 3 −b, 4 +c, 5 −c, 6 the seed or nucleus itself
	TimeH  float32 // hours from the start of the programme; NaN unless a grain owns the cell
}

// Values of Cell.Grain that are no grain.
const (
	Liquid = -1
	NoBody = -2
)

// Field is a finished run: the owner, sector and arrival time of every cell. It is read-only and
// safe for concurrent use.
type Field struct {
	front  *front
	local  *local  // under a gradient
	names  []int32 // per grain of the engine: the index that readers see
	fullBy float64 // key
}

func newField(s *front, fullBy float64) *Field {
	f := &Field{front: s, names: make([]int32, len(s.grains)), fullBy: fullBy}
	for g := range f.names {
		f.names[g] = int32(g)
	}
	s.queue, s.free = nil, nil
	return f
}

// Rename lets grain g of the engine appear under another index from now on.
func (f *Field) Rename(g, index int) { f.names[g] = int32(index) }

// FullByH is an hour by which no liquid is left, +Inf when some stays.
func (f *Field) FullByH() float64 {
	if math.IsInf(f.fullBy, 1) {
		return f.fullBy
	}
	return f.hours(f.fullBy)
}

// SolidAt tells whether a cell of the body is solid at an hour.
func (f *Field) SolidAt(at [3]int, hours float64) bool {
	if f.front.clock != nil {
		hours = f.front.clock.key(hours)
	}
	return f.Key(at[0], at[1], at[2]) <= float64(float32(hours))
}

// Row reads the cells (0..N[0]-1, j, k) into dst, which must hold N[0] of them.
func (f *Field) Row(j, k int, dst []Cell) {
	s := f.front
	n := s.grid.N[0]
	edge := 1 << s.shift[0]
	nan := float32(math.NaN())
	first := s.number(0, j, k)
	for x := 0; x < n; {
		u := first + uint32(x>>s.shift[0])<<6
		end := x + edge
		id, ok := s.certified(u >> 6)
		for ok && end < n {
			if next, too := s.certified(u>>6 + uint32(end-x)>>s.shift[0]); !too || next != id {
				break
			}
			end += edge
		}
		run := dst[x:min(end, n)]
		if ok {
			f.known(u, id, [3]int{x, j, k}, run)
			x = end
			continue
		}
		x = end
		b := &s.blocks[u>>6]
		for i := range run {
			switch bit := uint64(1) << (u&63 + uint32(i)); {
			case b.in&bit == 0:
				run[i] = Cell{NoBody, 0, nan}
			case b.solid&bit == 0:
				run[i] = Cell{Liquid, 0, nan}
			default:
				c := s.cells[u+uint32(i)]
				run[i] = Cell{f.names[c.owner>>3], uint8(c.owner & 7), float32(f.hours(float64(c.key)))}
			}
		}
	}
}

// certified is the root box for which the certificate holds in all of a block, and whether there is
// one.
func (s *front) certified(b uint32) (id uint32, ok bool) {
	if s.blocks == nil {
		return s.grains[0].box, true
	}
	p := s.blocks[b].proof
	return p - 1, p != 0
}

// hours turns a key into the hour; under a gradient keys are hours.
func (f *Field) hours(key float64) float64 {
	if f.front.clock == nil {
		return key
	}
	return f.front.clock.time(key)
}

// Key is the arrival key of a cell, the length in cells that the a faces had grown, or under a
// gradient the hour; NaN unless a grain owns it.
func (f *Field) Key(i, j, k int) float64 {
	if t, _, _, ok := f.front.capturedBy(f.front.number(i, j, k)); ok {
		return float64(t)
	}
	return math.NaN()
}

// capturedBy is when and by which grain and face a solid cell was captured; ok is false for any
// other.
func (s *front) capturedBy(u uint32) (key float32, grain, sector uint32, ok bool) {
	if s.in[u>>6]>>(u&63)&1 == 0 {
		return 0, 0, 0, false
	}
	if id, ok := s.certified(u >> 6); ok {
		key, sector = s.arrival(u, id)
		return key, uint32(s.boxes[id].grain), sector, float64(key) <= s.clock.end
	}
	c := s.cells[u]
	return c.key, c.owner >> 3, c.owner & 7, s.blocks[u>>6].solid>>(u&63)&1 != 0
}
