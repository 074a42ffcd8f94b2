package body

import (
	"math"
	"strings"
	"testing"
)

// relative is |got/want − 1|.
func relative(got, want float64) float64 { return math.Abs(got/want - 1) }

// TestVolumes: the number of lattice points in a circle of r cells, however the lattice lies,
// differs from πr² by less than the ring of half a diagonal around it, √2πr + π/2 (C. F. Gauss's
// elementary bound). Canary: 3.2 for π.
func TestVolumes(t *testing.T) {
	for _, cell := range []float64{0.05, 0.031} {
		r := 12 / cell
		bound := (math.Sqrt2*r + 0.5) / (r * r)
		height := math.Round(2/cell) * cell
		disc, err := Disc(24, 2, cell, Solid)
		if err != nil {
			t.Fatal(err)
		}
		plane, _ := Disc(24, 0, cell, FromAbove)
		ring, err := Ring(24, 12, 2, cell, Solid)
		if err != nil {
			t.Fatal(err)
		}
		volume := func(g *Grid) float64 { return float64(g.Cells()) * g.CellVolume() }
		check := func(pi float64) (worst float64) {
			worst = math.Max(relative(volume(disc), pi*144*height)/bound, relative(volume(plane), pi*144)/bound)
			// The ring has both circles' errors, and three quarters of the area.
			return math.Max(worst, relative(volume(ring), pi*108*height)/(bound*1.5/0.75))
		}
		if w := check(math.Pi); w > 1 {
			t.Errorf("cell %v mm: area off by %.2f of the bound", cell, w)
		}
		if w := check(3.2); w < 1 {
			t.Errorf("canary: π = 3.2 passed, %.2f of the bound", w)
		}
	}
}

func TestBlocks(t *testing.T) {
	for _, c := range []struct {
		flat   int
		n      [3]int
		origin [3]float64
	}{
		{Solid, [3]int{8, 5, 1}, [3]float64{-1.75, -1, 0.25}},
		{VerticalSection, [3]int{8, 1, 1}, [3]float64{-1.75, 0, 0.25}},
		{FromAbove, [3]int{8, 5, 1}, [3]float64{-1.75, -1, 0}},
	} {
		g, err := Block([3]float64{4.1, 2.4, 0.1}, 0.5, c.flat, true)
		if err != nil {
			t.Fatal(err)
		}
		if g.N != c.n || g.Origin != c.origin || !g.Periodic || g.Cells() != c.n[0]*c.n[1]*c.n[2] {
			t.Errorf("flat %d: got %+v", c.flat, g)
		}
	}
	section, err := Disc(24, 8, 0.2, VerticalSection)
	if err != nil || section.N != [3]int{120, 1, 40} || section.Cells() != 4800 {
		t.Errorf("section of a disc: %v %+v", err, section)
	}
}

// TestSymmetric: a round body looks the same from all eight sides, for odd and even numbers of
// cells.
func TestSymmetric(t *testing.T) {
	for _, cell := range []float64{0.2, 0.21, 0.23, 0.37, 1.1, 2.4, 7, 40} {
		g, err := Disc(24, 3, cell, Solid)
		if err != nil {
			t.Fatal(err)
		}
		n := g.N[0]
		if n != g.N[1] || math.Abs(float64(n)*cell-24) > cell && n > 1 {
			t.Fatalf("cell %v: %v cells", cell, g.N)
		}
		edge := false
		for i := range n {
			edge = edge || g.State(0, i, 0) == Inside
			for j := range n {
				s := g.State(i, j, 0)
				if s != g.State(j, i, 0) || s != g.State(n-1-i, j, 0) {
					t.Fatalf("cell %v: (%d, %d) differs from its image", cell, i, j)
				}
			}
		}
		if !edge {
			t.Errorf("cell %v: the grid is not tight", cell)
		}
	}
}

func tally(g *Grid) (n [3]int) {
	for _, s := range g.outline {
		n[s]++
	}
	return n
}

func TestObstacles(t *testing.T) {
	disc, _ := Disc(24, 3, 0.13, Solid)
	if n := tally(disc); n[Obstacle] != 0 || n[Outside] == 0 {
		t.Errorf("disc: %v", n)
	}
	ring, _ := Ring(24, 12, 3, 0.1, FromAbove)
	for u, s := range ring.outline {
		x, y, _ := ring.Centre(u%ring.N[0], u/ring.N[0], 0)
		r := math.Hypot(x, y)
		if want := (r < 5.99); r < 11.9 && (r < 5.99 || r > 6.01) && (s == Obstacle) != want {
			t.Fatalf("ring: state %d at radius %v", s, r)
		}
		if r > 12.01 && s != Outside {
			t.Fatalf("ring: state %d at radius %v", s, r)
		}
	}
}

// picture reads rows of '#' and '.'.
func picture(rows ...string) Picture {
	p := Picture{Columns: len(rows[0]), Rows: len(rows), MMPerPixel: 1}
	for _, r := range rows {
		for _, c := range r {
			p.Body = append(p.Body, c == '#')
		}
	}
	return p
}

// states writes the outline as a picture, far side first.
func states(g *Grid) (rows []string) {
	nx, ny, _ := g.Layer()
	for j := ny - 1; j >= 0; j-- {
		var b strings.Builder
		for i := range nx {
			b.WriteByte("#.o"[g.outline[j*nx+i]])
		}
		rows = append(rows, b.String())
	}
	return rows
}

func TestMask(t *testing.T) {
	ell := picture(
		"........",
		".##.....",
		".##.....",
		".##.....",
		".######.",
		".######.")
	g, err := Mask(ell, 3, 1, Solid)
	if err != nil {
		t.Fatal(err)
	}
	want := []string{"##....", "##o...", "##oo..", "######", "######"}
	if got := states(g); strings.Join(got, " ") != strings.Join(want, " ") {
		t.Errorf("got %q, want %q", got, want)
	}
	// The picture's middle is the axis: the body starts one pixel right of the left edge at −4, and at
	// the lower edge −3.
	if x, y, z := g.Centre(0, 0, 0); x != -2.5 || y != -2.5 || z != 0.5 {
		t.Errorf("first cell at %v %v %v", x, y, z)
	}
	section, err := Mask(ell, 0, 1, VerticalSection)
	if err != nil || section.N != [3]int{6, 1, 5} || section.Origin != [3]float64{-2.5, 0, 0.5} ||
		section.State(0, 0, 4) != Inside || section.State(5, 0, 4) != Outside {
		t.Errorf("section: %v %+v", err, section)
	}
	fine, err := Mask(ell, 0, 0.25, FromAbove)
	if err != nil || fine.Cells() != 16*g.Cells()/3 || fine.N != [3]int{24, 20, 1} {
		t.Errorf("finer cells: %v %v", err, fine)
	}
}

// TestWobble: a turned square in pixels, resampled to cells, has a ragged edge and no obstacle; a
// bite out of it has.
func TestWobble(t *testing.T) {
	p := Picture{Columns: 401, Rows: 401, MMPerPixel: 0.05}
	draw := func(bite float64) *Grid {
		p.Body = p.Body[:0]
		for j := range p.Rows {
			for i := range p.Columns {
				x, y := 0.05*float64(i-200), 0.05*float64(j-200)
				u, v := 0.9*x+0.43589*y, 0.9*y-0.43589*x
				p.Body = append(p.Body, math.Abs(u) < 6.6 && math.Abs(v) < 6.6 && math.Hypot(u-6.6, v) > bite)
			}
		}
		g, err := Mask(p, 0, 0.13, FromAbove)
		if err != nil {
			t.Fatal(err)
		}
		return g
	}
	if n := tally(draw(0)); n[Obstacle] != 0 {
		t.Errorf("square: %v", n)
	}
	if n := tally(draw(2))[Obstacle]; relative(float64(n)*0.13*0.13, 2*math.Pi) > 0.08 {
		t.Errorf("half a disc of 2 mm bitten off: %d cells", n)
	}
}

func TestPieces(t *testing.T) {
	g, err := Mask(picture("#..##", ".#.##", ".....", "##..."), 1, 1, Solid)
	if err != nil {
		t.Fatal(err)
	}
	piece, n := g.Pieces()
	if n != 3 || piece[0] != 0 || piece[3] != -1 || piece[2*5+1] != piece[3*5] || piece[3*5+3] == piece[3*5] {
		t.Errorf("%d pieces: %v", n, piece)
	}
	if c := g.Nearest([3]float64{1.6, 1.4, 0.2}); c != [3]int{4, 3, 0} || g.State(c[0], c[1], c[2]) != Inside {
		t.Errorf("nearest cell %v", c)
	}
}

func TestRefusals(t *testing.T) {
	_, big := Block([3]float64{1e6, 1e6, 1e6}, 1e-3, Solid, false)
	_, cell := Disc(24, 8, 0, Solid)
	_, inf := Disc(math.Inf(1), 8, 1, FromAbove)
	_, nan := Block([3]float64{1, math.NaN(), 1}, 1, Solid, false)
	_, flat := Block([3]float64{1, 1, 1}, 1, 0, false)
	_, hole := Ring(10, 12, 1, 1, Solid)
	_, thin := Ring(10, 9.999, 1, 0.7, Solid)
	_, none := Ring(10, 0, 1, 1, Solid)
	_, section := Ring(10, 5, 1, 1, VerticalSection)
	_, empty := Mask(picture("..", ".."), 1, 1, Solid)
	_, ragged := Mask(Picture{2, 2, 1, nil}, 1, 1, Solid)
	_, pixel := Mask(Picture{1, 1, -1, []bool{true}}, 1, 1, Solid)
	_, height := Mask(picture("#"), 0, 1, Solid)
	_, axis := Mask(picture("#"), 0, 1, 7)
	_, large := Mask(Picture{1, 1, 1e9, []bool{true}}, 1, 1, Solid)
	for _, c := range []struct {
		err  error
		want string
	}{
		{big, "choose larger cells"}, {cell, "cell_mm = 0"}, {inf, "diameter_mm = +Inf"}, {nan, "size_mm along y"},
		{flat, "flat axis 0"},
		{hole, "inner_diameter_mm = 12"}, {thin, "no cell lies between"}, {none, "inner_diameter_mm = 0"},
		{section, `plane = "ac"`},
		{empty, "no cell's centre"}, {ragged, "0 values"}, {pixel, "mm_per_pixel = -1"}, {height, "height_mm = 0"},
		{axis, "flat axis 7"}, {large, "choose larger cells"},
	} {
		if c.err == nil || !strings.Contains(c.err.Error(), c.want) {
			t.Errorf("want an error with %q, got %v", c.want, c.err)
		}
	}
}

func TestStates(t *testing.T) {
	g := NewOutline([3]int{2, 1, 2}, 0.5, [3]float64{}, VerticalSection, []State{Inside, Outside, Obstacle, Inside})
	if g.State(1, 0, 0) != Outside || g.State(0, 0, 1) != Obstacle || g.State(2, 0, 0) != Outside || g.Cells() != 2 ||
		g.CellVolume() != 0.25 {
		t.Errorf("%+v", g)
	}
}

func TestRim(t *testing.T) {
	ring, _ := Ring(24, 12, 3, 0.5, Solid)
	disc, _ := Disc(9, 3, 0.5, FromAbove)
	section, _ := Disc(9, 3, 0.5, VerticalSection)
	for _, c := range []struct {
		g    *Grid
		want [4]float64
	}{{ring, [4]float64{12, 6}}, {disc, [4]float64{4.5}}, {section, [4]float64{0, 0, 4.5, 4.5}}} {
		if r := c.g.Rim(); [4]float64{r.OuterMM, r.InnerMM, r.HalfMM[0], r.HalfMM[1]} != c.want {
			t.Errorf("got %+v, want %v", r, c.want)
		}
	}
}
