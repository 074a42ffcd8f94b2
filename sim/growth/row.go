package growth

import "math"

// line is a row of cells along x as a root box sees it.
type line struct {
	box         *box
	grain       *grain
	step        [3]float64 // of the box's axes along x
	y, z, at    [3]float64
	name        int32
	first, home int // x of the first cell, and of the nucleus's own; -1 where it is not in this row
}

// The sums are those of frame.coordinates, term by term.
func (l *line) coordinate(axis int, x float64) float64 {
	return float64(l.step[axis]*x) + l.y[axis] + l.z[axis] - l.at[axis]
}

// stretch is how many cells are read at a time: few enough that mostly one a face and one c face
// lead in all of them.
const stretch = 16

// along is a row of cells, from one on, as the root box sees it.
func (f *Field) along(id uint32, at [3]int) line {
	s := f.front
	bx := &s.boxes[id]
	fr := &s.frames[bx.frame]
	l := line{box: bx, grain: &s.grains[bx.grain], at: fr.at, name: f.names[bx.grain], first: at[0], home: -1}
	for a := range l.step {
		l.step[a], l.y[a], l.z[a] = fr.axes[3*a], fr.axes[3*a+1]*float64(at[1]), fr.axes[3*a+2]*float64(at[2])
	}
	if home := l.grain.home; home != math.MaxUint32 {
		if x, y, z := s.coordinates(home); y == at[1] && z == at[2] {
			l.home = x
		}
	}
	return l
}

// known reads cells of certified blocks, from cell u, the first of its block's row, on along x.
func (f *Field) known(u, id uint32, at [3]int, run []Cell) {
	s := f.front
	l := f.along(id, at)
	for n := 0; n < len(run); n += stretch {
		part := run[n:min(n+stretch, len(run))]
		l.first = at[0] + n
		from, to := float64(l.first), float64(l.first+len(part)-1)
		a, okA := l.leader(0, 4, from, to)
		c, okC := l.leader(4, 6, from, to)
		b := u + uint32(n)>>s.shift[0]<<6
		if okA && okC && s.allIn(b, len(part)) && !(l.first <= l.home && l.home < l.first+stretch) {
			f.led(&l, a, c, part)
		} else {
			f.unled(&l, b, part)
		}
	}
}

// none of a pair of faces has any way to go.
const none = -1

// leader is the one of some faces that has furthest to go to every cell between two ends, ahead by
// more than rounding, and none where no face has any way. What cells need is linear along the row,
// so who leads at both ends leads between.
func (l *line) leader(low, high int, from, to float64) (face int, ok bool) {
	const clear = 1e-9
	first, last := l.needs(low, high, from), l.needs(low, high, to)
	face = low
	any := false
	for i := low; i < high; i++ {
		any = any || first[i] > -clear || last[i] > -clear
		if first[i] > first[face] {
			face = i
		}
	}
	if !any {
		return none, true
	}
	for i := low; i < high; i++ {
		if i != face && !(first[face]-first[i] > clear && last[face]-last[i] > clear) {
			return face, false
		}
	}
	return face, true
}

func (l *line) needs(low, high int, x float64) (n [6]float64) {
	for i := low; i < high; i += 2 {
		y := l.coordinate(i/2, x)
		n[i], n[i+1] = y-l.box.faces[i], -y-l.box.faces[i+1]
	}
	return n
}

// allIn tells whether n cells along x, from the first of a block's row, are all of the body.
func (s *front) allIn(u uint32, n int) bool {
	edge := 1 << s.shift[0]
	for ; n > 0; n -= edge {
		mask := uint64(1)<<min(n, edge) - 1
		if s.in[u>>6]>>(u&63)&mask != mask {
			return false
		}
		u += 64
	}
	return true
}

// led reads a stretch in which one a face and one c face lead, or none. It is where most cells are
// read: what it does is claim and cell, without looking at faces that cannot decide.
func (f *Field) led(l *line, a, c int, part []Cell) {
	k := f.front.clock
	axis, signA, faceA := l.side(a)
	_, signC, faceC := l.side(c)
	for i := range part {
		x := float64(l.first + i)
		key, sector := order(-1), uint32(0)
		if a != none {
			key, sector = order(float64(signA*l.coordinate(axis, x))-faceA), uint32(a)
		}
		if c != none {
			if need := float64(signC*l.coordinate(2, x)) - faceC; need > 0 {
				t, ok := k.quickC(need)
				if !ok {
					t = k.fromC(need)
				}
				if t := order(t); t > key {
					key, sector = t, uint32(c)
				}
			}
		}
		la := float64(float32(math.Float64frombits(uint64(key))))
		if la > l.grain.key && la < k.near {
			if n, ok := k.quick(la); ok {
				p := &k.nodes[n]
				part[i] = Cell{l.name, uint8(sector), float32(p.hours + float64((la-p.la)*p.hourSlope))}
				continue
			}
		}
		part[i] = f.cell(l, math.Float64frombits(uint64(key)), sector)
	}
}

// side is the axis, the direction and the start of a face.
func (l *line) side(face int) (axis int, sign, start float64) {
	if face == none {
		return 0, 1, 0
	}
	return face / 2, float64(1 - 2*(face&1)), l.box.faces[face]
}

// unled reads any stretch, from cell u on.
func (f *Field) unled(l *line, u uint32, part []Cell) {
	s := f.front
	mask, place := uint32(1)<<s.shift[0]-1, u&63
	nan := float32(math.NaN())
	for i := range part {
		v := u + uint32(i)>>s.shift[0]<<6 + uint32(i)&mask
		if s.in[v>>6]>>(place+uint32(i)&mask)&1 == 0 {
			part[i] = Cell{NoBody, 0, nan}
			continue
		}
		x := float64(l.first + i)
		t, sector := s.clock.claim(l.box, l.coordinate(0, x), l.coordinate(1, x), l.coordinate(2, x))
		if l.first+i == l.home {
			t = l.grain.key
		}
		part[i] = f.cell(l, t, sector)
	}
}

// cell is what readers see of a cell that the box reaches at a key.
func (f *Field) cell(l *line, key float64, sector uint32) Cell {
	if key <= l.grain.key {
		key, sector = l.grain.key, sectorSeed
	}
	k := f.front.clock
	if key = float64(float32(key)); key > k.end {
		return Cell{Liquid, 0, float32(math.NaN())}
	}
	return Cell{l.name, uint8(sector), float32(k.time(key))}
}
