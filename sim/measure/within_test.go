package measure

import (
	"math"
	"math/rand/v2"
	"testing"

	"onegrain/sim/body"
)

// told is a body as a person tells it, and its grid at a size of cell in mm.
type told struct {
	name         string
	disc, square float64 // closed forms, mm: of the whole body, the square along x and y
	holds        func(x, y float64) bool
	grid         func(cell float64) (*body.Grid, error)
}

// bodies are of awkward sizes: none is a whole number of cells at most sizes of cell. The mask is
// the block of 7.9 by 9.7 mm in pixels of 0.1 mm, 0.3 mm off the middle of its picture.
func bodies() []told {
	const w, h, off = 7.9, 9.7, 0.3
	p := body.Picture{Columns: 93, Rows: 101, MMPerPixel: 0.1}
	for j := range p.Rows {
		for i := range p.Columns {
			x, y := (float64(i)+0.5)*0.1-4.65, 5.05-(float64(j)+0.5)*0.1
			p.Body = append(p.Body, math.Abs(x-off) < w/2 && math.Abs(y) < h/2)
		}
	}
	inner, outer := 2.2, 6.1
	side := 2 * (-2*inner + math.Sqrt(4*inner*inner-5*(inner*inner-outer*outer))) / 5 // see TestClearWhole
	ring := func(x, y float64) bool { r := math.Hypot(x, y); return inner <= r && r <= outer }
	disc := func(x, y float64) bool { return math.Hypot(x, y) <= 4.15 }
	rectangle := func(x, y float64) bool { return math.Abs(x) <= w/2 && math.Abs(y) <= h/2 }
	return []told{
		{"block", w, w, rectangle, func(c float64) (*body.Grid, error) {
			return body.Block([3]float64{w, h, 0}, c, body.FromAbove, false)
		}},
		{"disc", 8.3, 8.3 / math.Sqrt2, disc, func(c float64) (*body.Grid, error) {
			return body.Disc(8.3, 2*c, c, body.Solid)
		}},
		{"ring", outer - inner, side, ring, func(c float64) (*body.Grid, error) {
			return body.Ring(2*outer, 2*inner, 0, c, body.FromAbove)
		}},
		{"mask", w, w, func(x, y float64) bool { return rectangle(x-off, y) }, func(c float64) (*body.Grid, error) {
			return body.Mask(p, 0, c, body.FromAbove)
		}},
		{"block ac", w, w, nil, func(c float64) (*body.Grid, error) {
			return body.Block([3]float64{w, 0, 3}, c, body.VerticalSection, false)
		}},
		{"disc ac", 8.3, 8.3, nil, func(c float64) (*body.Grid, error) {
			return body.Disc(8.3, 3, c, body.VerticalSection)
		}},
		{"mask ac", w, w, nil, func(c float64) (*body.Grid, error) {
			return body.Mask(p, 0, c, body.VerticalSection)
		}},
	}
}

// TestClearIsNeverLargerThanItsBody: a body that is clear everywhere gives its own disc and square
// at any size of cell: never more, and less by 0.04 cell of the search at most, times √2 for the
// square's worst turn. Canary: bodies told half a cell narrower, which is what cells that are
// counted whole at the rim are off by.
func TestClearIsNeverLargerThanItsBody(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 7))
	for _, b := range bodies() {
		caught := 0
		for range 40 {
			cell := 0.15 + 0.6*rng.Float64()
			g, err := b.grid(cell)
			if err != nil {
				t.Fatal(err)
			}
			r := clearOf(g, 0, func(x, y float64) bool { return true })
			fits := func(got, want float64) bool { return between(got, want-0.04*math.Sqrt2*cell, want+1e-9) }
			if !fits(r.ClearDiameterMM, b.disc) || !fits(r.ClearSquareMM, b.square) {
				t.Errorf("%s, cells of %.4f: disc %v of %v, square %v of %v", b.name, cell,
					r.ClearDiameterMM, b.disc, r.ClearSquareMM, b.square)
			}
			if !fits(r.ClearDiameterMM, b.disc-cell/2) {
				caught++
			}
		}
		if caught < 40 {
			t.Errorf("canary: %s half a cell narrower passed %d times", b.name, 40-caught)
		}
	}
}

// TestClearBySampling compares disc and square with plain sampling: points that nothing may hold
// (in the spoilt columns, and beyond the outline as it was told) 0.1 cell apart, and a climb to the
// place farthest from all of them. The points stand back by up to 0.05 · √2 cell on either side,
// the search ends 0.04 short, the climb up to 0.06. Canary: the outline half a cell wider all
// round, where it is the outline that holds the shape.
func TestClearBySampling(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 25))
	caught := 0
	for n, b := range append(bodies()[:4], bodies()[:4]...) {
		g, err := b.grid([]float64{0.53, 0.68}[n/4])
		if err != nil {
			t.Fatal(err)
		}
		spoilt := make([]bool, g.N[0]*g.N[1])
		for range 1 + n%3 {
			i, j, r := rng.Float64()*float64(g.N[0]), rng.Float64()*float64(g.N[1]), 1+1.5*rng.Float64()
			for u := range spoilt {
				spoilt[u] = spoilt[u] || math.Hypot(float64(u%g.N[0])-i, float64(u/g.N[0])-j) < r
			}
		}
		column := func(x, y float64) int {
			return int(math.Round((x-g.Origin[0])/g.CellMM)) + g.N[0]*int(math.Round((y-g.Origin[1])/g.CellMM))
		}
		turn := 90 * rng.Float64()
		r := clearOf(g, turn, func(x, y float64) bool { return !spoilt[column(x, y)] })
		sin, cos := math.Sincos(turn * math.Pi / 180)
		square := func(x, y float64) float64 { return math.Max(math.Abs(x*cos+y*sin), math.Abs(y*cos-x*sin)) }
		check := func(holds func(x, y float64) bool) bool {
			p := sampled(g, holds, spoilt)
			disc, side := r.ClearDiameterMM-2*p.widest(math.Hypot), r.ClearSquareMM-2*p.widest(square)
			return between(disc, -0.19*g.CellMM, 0.06*g.CellMM) && between(side, -0.19*g.CellMM, 0.06*g.CellMM)
		}
		if !check(b.holds) {
			t.Errorf("%s %d, turn %.1f: disc %v, square %v", b.name, n, turn, r.ClearDiameterMM, r.ClearSquareMM)
		}
		wide := 1 - g.CellMM/b.disc
		if !check(func(x, y float64) bool { return b.holds(x*wide, y*wide) }) {
			caught++
		}
	}
	if caught < 5 {
		t.Errorf("canary: a wider outline was noticed %d times in 8", caught)
	}
}

// samples are a grid of points around a body, 0.1 cell apart, and those of them that nothing may
// hold, the foremost ones.
type samples struct {
	g         *body.Grid
	forbidden func(x, y float64) bool
	edge      [][2]float64
}

func sampled(g *body.Grid, holds func(x, y float64) bool, spoilt []bool) *samples {
	s, h := &samples{g: g}, g.CellMM/10
	s.forbidden = func(x, y float64) bool {
		i, j := int(math.Round((x-g.Origin[0])/g.CellMM)), int(math.Round((y-g.Origin[1])/g.CellMM))
		return !holds(x, y) || g.State(i, j, 0) == body.Inside && spoilt[j*g.N[0]+i]
	}
	for j := -15; j < 10*g.N[1]+5; j++ {
		for i := -15; i < 10*g.N[0]+5; i++ {
			x, y := g.Origin[0]+(float64(i)+0.5)*h, g.Origin[1]+(float64(j)+0.5)*h
			if s.forbidden(x, y) && !(s.forbidden(x-h, y) && s.forbidden(x+h, y) && s.forbidden(x, y-h) && s.forbidden(x, y+h)) {
				s.edge = append(s.edge, [2]float64{x, y})
			}
		}
	}
	return s
}

func (s *samples) reach(norm func(x, y float64) float64, x, y float64) float64 {
	if s.forbidden(x, y) {
		return 0
	}
	best := math.Inf(1)
	for _, p := range s.edge {
		best = math.Min(best, norm(x-p[0], y-p[1]))
	}
	return best
}

// widest climbs from every cell that promises something.
func (s *samples) widest(norm func(x, y float64) float64) (best float64) {
	cell := s.g.CellMM
	for u := range s.g.N[0] * s.g.N[1] {
		x, y := s.g.Origin[0]+float64(u%s.g.N[0])*cell, s.g.Origin[1]+float64(u/s.g.N[0])*cell
		w := s.reach(norm, x, y)
		for step := cell / 2; w > best-1.5*step && step > cell/100; step /= 2 {
			for k := 0; k < 8; k++ {
				sin, cos := math.Sincos(float64(k) * math.Pi / 4)
				if v := s.reach(norm, x+step*cos, y+step*sin); v > w {
					x, y, w, k = x+step*cos, y+step*sin, v, -1
				}
			}
		}
		best = math.Max(best, w)
	}
	return best
}
