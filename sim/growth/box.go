package growth

import "math"

// frame is where and how a grain's own axes lie: y = axes·x − at.
type frame struct {
	axes [9]float64 // rows: unit vectors a, b, c in the grid's frame
	at   [3]float64 // the origin in its own axes, cells
}

func newFrame(axes [9]float64, at [3]float64) frame {
	f := frame{axes: axes}
	f.at[0], f.at[1], f.at[2] = f.coordinates(at[0], at[1], at[2])
	return f
}

// coordinates of a point in the frame; the same bits whoever asks.
func (f *frame) coordinates(x, y, z float64) (a, b, c float64) {
	r := &f.axes
	return float64(r[0]*x) + float64(r[1]*y) + float64(r[2]*z) - f.at[0],
		float64(r[3]*x) + float64(r[4]*y) + float64(r[5]*z) - f.at[1],
		float64(r[6]*x) + float64(r[7]*y) + float64(r[8]*z) - f.at[2]
}

// box is a growth form: face f stands at faces[f] + L_f(t) along its outward normal (order +a −a +b
// −b +c −c).
type box struct {
	faces    [6]float64
	resolved float64 // key from which late liquid in it counts: the box is thicker than 2·thick cells
	frame    int32
	grain    int32
	own      uint32 // the grain's root box
	claims   int32  // pending cells that refer to a cut box; 0 = free
	root     bool
}

const (
	slack     = 1e-3 // a cell counts as overdue when it lies deeper than this, cells
	thick     = 1.75 // half thickness from which the mesh resolves a box, cells
	window    = 3.0  // how far the faces of a cut box may stand from its cell, cells
	sideways  = 0.05 // a neighbour further than this along an axis lies on that side, cells
	tieWindow = 1e-4 // two grains closer than this come together, cells
)

const (
	sectorC    = 4 // sectors 0..3 are a and b faces, 4 and 5 the c faces
	sectorSeed = 6
)

// order sorts like x for x ≥ 0, below all of them for x < 0.
func order(x float64) int64 { return int64(math.Float64bits(x)) }

// claim is the key at which a box reaches a point of its frame, and the face that decides. Keys
// below the box's birth are meaningless but small.
func (k *clock) claim(b *box, y0, y1, y2 float64) (key float64, sector uint32) {
	a, s := order(y0-b.faces[0]), uint32(0)
	if t := order(-y0 - b.faces[1]); t > a {
		a, s = t, 1
	}
	if t := order(y1 - b.faces[2]); t > a {
		a, s = t, 2
	}
	if t := order(-y1 - b.faces[3]); t > a {
		a, s = t, 3
	}
	c, sc := order(y2-b.faces[4]), uint32(4)
	if t := order(-y2 - b.faces[5]); t > c {
		c, sc = t, 5
	}
	if c > 0 {
		lc := math.Float64frombits(uint64(c))
		la, ok := k.quickC(lc)
		if !ok {
			la = k.fromC(lc)
		}
		if t := order(la); t > a {
			a, s = t, sc
		}
	}
	return math.Float64frombits(uint64(a)), s
}

// middle is the key at which the second of the three pairs of faces that a point needs is there.
// Where the last pairs of two grains arrive together, as c faces do that started in one plane, the
// point belongs to the grain whose second was there earlier.
func (k *clock) middle(b *box, y0, y1, y2 float64) float64 {
	p, q := larger(y0-b.faces[0], -y0-b.faces[1]), larger(y1-b.faces[2], -y1-b.faces[3])
	r := k.fromC(larger(y2-b.faces[4], -y2-b.faces[5]))
	if p > q {
		p, q = q, p
	}
	return larger(p, math.Min(q, r))
}

// lengths are what the three pairs of faces have grown at a key.
func (k *clock) lengths(key float64) [3]float64 { return [3]float64{key, key, k.cLength(key)} }
