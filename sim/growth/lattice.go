package growth

import (
	"math/bits"
	"slices"

	"onegrain/sim/body"
)

// group is the part of a cell's Moore neighbourhood that lies in one block.
type group struct {
	block int32   // difference of block numbers
	step  [3]int8 // the same in blocks along x, y, z
	mask  uint64  // the neighbours among that block's 64 cells
	lines []uint8 // the first of these cells in each cache line
}

// lattice numbers the cells: number = block·64 + place in the block. Blocks carry a rim of empty
// blocks around the body, so that every neighbour has a number.
type lattice struct {
	grid  *body.Grid
	shift [3]uint // log2 of a block's edge along x, y, z
	rim   [3]int  // 1, or 0 along a flat axis
	count [3]int  // blocks along x, y, z with the rim
	divX  uint64  // ⌈2⁶⁴/count⌉, for division by multiplication
	divY  uint64
	total int // cells of the body
	near  [64][]group
	in    []uint64 // per block: cells of the body
	hole  []uint64 // obstacles; nil where the body has none
	wall  []uint64 // obstacles and the cells next to them
}

func newLattice(g *body.Grid) *lattice {
	l := &lattice{grid: g, total: g.Cells(), shift: [3]uint{2, 2, 2}, rim: [3]int{1, 1, 1}}
	if g.Flat >= 0 {
		l.shift = [3]uint{3, 3, 3}
		l.shift[g.Flat], l.rim[g.Flat] = 0, 0
	}
	for a := range l.count {
		edge := 1 << l.shift[a]
		l.count[a] = (g.N[a]+edge-1)/edge + 2*l.rim[a]
	}
	l.divX = ^uint64(0)/uint64(l.count[0]) + 1
	l.divY = ^uint64(0)/uint64(l.count[1]) + 1
	l.fillNear()
	l.fillLines()
	l.fillBody()
	l.fillWall()
	return l
}

// size is the number of blocks.
func (l *lattice) size() int { return l.count[0] * l.count[1] * l.count[2] }

// number of cell (x, y, z); all coordinates from -edge of a block to N + edge - 1.
func (l *lattice) number(x, y, z int) uint32 {
	return l.fromRim(x+l.rim[0]<<l.shift[0], y+l.rim[1]<<l.shift[1], z+l.rim[2]<<l.shift[2])
}

// fromRim is number for coordinates that count from the corner of the rim. The shifts are below 64,
// which masks tell the compiler.
func (l *lattice) fromRim(x, y, z int) uint32 {
	i, j, k := l.shift[0]&63, l.shift[1]&63, l.shift[2]&63
	b := (z>>k*l.count[1]+y>>j)*l.count[0] + x>>i
	return uint32(b)<<6 | uint32(x&(1<<i-1)|(y&(1<<j-1)|z&(1<<k-1)<<j)<<i)
}

// corner is the first cell of block b.
func (l *lattice) corner(b uint32) (x, y, z int) {
	row := b
	if l.count[0] > 1 {
		h, _ := bits.Mul64(uint64(b), l.divX)
		row = uint32(h)
	}
	x = int(b) - int(row)*l.count[0]
	slab := row
	if l.count[1] > 1 {
		h, _ := bits.Mul64(uint64(row), l.divY)
		slab = uint32(h)
	}
	y = int(row) - int(slab)*l.count[1]
	return (x - l.rim[0]) << l.shift[0], (y - l.rim[1]) << l.shift[1], (int(slab) - l.rim[2]) << l.shift[2]
}

// place is where cell c of a block lies from the block's first cell.
func (l *lattice) place(c uint32) (x, y, z int) {
	i, j := l.shift[0]&63, l.shift[1]&63
	return int(c) & (1<<i - 1), int(c) >> i & (1<<j - 1), int(c) >> i >> j
}

func (l *lattice) coordinates(cell uint32) (x, y, z int) {
	x, y, z = l.corner(cell >> 6)
	i, j, k := l.place(cell & 63)
	return x + i, y + j, z + k
}

func (l *lattice) fillNear() {
	for c := uint32(0); c < 64; c++ {
		x, y, z := l.place(c)
		l.eachStep(func(i, j, k int) {
			if i != 0 || j != 0 || k != 0 {
				l.addNear(c, x+i, y+j, z+k)
			}
		})
	}
}

// eachStep visits the steps to a block or cell itself and to those round it.
func (l *lattice) eachStep(visit func(i, j, k int)) {
	for k := -l.rim[2]; k <= l.rim[2]; k++ {
		for j := -l.rim[1]; j <= l.rim[1]; j++ {
			for i := -l.rim[0]; i <= l.rim[0]; i++ {
				visit(i, j, k)
			}
		}
	}
}

func (l *lattice) addNear(c uint32, x, y, z int) {
	u := l.number(x, y, z)
	bit, d := uint64(1)<<(u&63), int32(u>>6)-int32(l.number(0, 0, 0)>>6)
	i := slices.IndexFunc(l.near[c], func(g group) bool { return g.block == d })
	if i < 0 {
		step := [3]int8{int8(x >> l.shift[0]), int8(y >> l.shift[1]), int8(z >> l.shift[2])}
		i, l.near[c] = len(l.near[c]), append(l.near[c], group{block: d, step: step})
	}
	l.near[c][i].mask |= bit
}

// fillLines notes which cache lines, of eight cells, a group touches.
func (l *lattice) fillLines() {
	for c := range l.near {
		for i := range l.near[c] {
			g := &l.near[c][i]
			for m := g.mask; m != 0; {
				first := uint8(bits.TrailingZeros64(m))
				g.lines = append(g.lines, first)
				m &^= 0xff << (first &^ 7)
			}
		}
	}
}

// fillBody notes which cells are of the body, and the holes. Runs share it and never write to it.
func (l *lattice) fillBody() {
	g := l.grid
	l.in = make([]uint64, l.size())
	edge := [3]int{1 << l.shift[0], 1 << l.shift[1], 1 << l.shift[2]}
	for z := 0; z < g.N[2]; z += edge[2] {
		for y := 0; y < g.N[1]; y += edge[1] {
			for x := 0; x < g.N[0]; x += edge[0] {
				b := l.number(x, y, z) >> 6
				in, hole := l.pattern(x, y, z)
				if hole != 0 && l.hole == nil {
					l.hole = make([]uint64, l.size())
				}
				if l.in[b] = in; hole != 0 {
					l.hole[b] = hole
				}
			}
		}
	}
}

// fillWall widens the holes by a cell all round.
func (l *lattice) fillWall() {
	if l.hole == nil {
		return
	}
	l.wall = make([]uint64, l.size())
	for b, m := range l.hole {
		for l.wall[b] |= m; m != 0; m &= m - 1 {
			for _, g := range l.near[bits.TrailingZeros64(m)] {
				l.wall[int32(b)+g.block] |= g.mask
			}
		}
	}
}

// pattern is the cells of a block that are of the body, and those that are holes; layers of a body
// in space are alike.
func (l *lattice) pattern(x, y, z int) (in, hole uint64) {
	for c := uint32(0); c < 64; c++ {
		i, j, k := l.place(c)
		if k > 0 && l.grid.Flat < 0 {
			if z+k < l.grid.N[2] {
				in, hole = in|in&0xffff<<(16*k), hole|hole&0xffff<<(16*k)
			}
			c += 15
			continue
		}
		switch l.grid.State(x+i, y+j, z+k) {
		case body.Inside:
			in |= 1 << c
		case body.Obstacle:
			hole |= 1 << c
		}
	}
	return in, hole
}
