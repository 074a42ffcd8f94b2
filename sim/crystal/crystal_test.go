package crystal

import (
	"math"
	"testing"

	"onegrain/sim/draw"
)

func random(s *draw.Stream) Orientation { return Random(s.Uniform(), s.Uniform(), s.Uniform()) }

func TestTurnedAxes(t *testing.T) {
	half := math.Sqrt2 / 2
	for _, c := range []struct {
		turn, tilt, toward float64
		want               [9]float64
	}{
		{0, 0, 0, [9]float64{1, 0, 0, 0, 1, 0, 0, 0, 1}},
		{90, 0, 0, [9]float64{0, 1, 0, -1, 0, 0, 0, 0, 1}},
		{45, 0, 0, [9]float64{half, half, 0, -half, half, 0, 0, 0, 1}},
		{0, 90, 0, [9]float64{0, 0, -1, 0, 1, 0, 1, 0, 0}},  // c leans to +x
		{0, 90, 90, [9]float64{1, 0, 0, 0, 0, -1, 0, 1, 0}}, // c leans to +y
		{90, 90, 0, [9]float64{0, 1, 0, 0, 0, 1, 1, 0, 0}},  // a first turned to +y, then tilted
		{180, 0, 0, [9]float64{-1, 0, 0, 0, -1, 0, 0, 0, 1}},
		{-360, 45, 180, [9]float64{half, 0, half, 0, 1, 0, -half, 0, half}}, // c leans to −x
	} {
		got := Turned(c.turn, c.tilt, c.toward).Axes()
		for i := range got {
			if exact := c.want[i] == math.Floor(c.want[i]); got[i] != c.want[i] &&
				(exact || math.Abs(got[i]-c.want[i]) > 3e-16) {
				t.Errorf("turn %v tilt %v toward %v: axes %v, want %v", c.turn, c.tilt, c.toward, got, c.want)
				break
			}
		}
	}
	s, c := sincosDeg(270)
	if s2, c2 := sincosDeg(180); s != -1 || c != 0 || s2 != 0 || c2 != -1 {
		t.Errorf("quarter turns are not exact: %v %v %v %v", s, c, s2, c2)
	}
}

// Axes are orthonormal and right-handed, and Then composes them as rotations of the sample do.
func TestAxesAreARotation(t *testing.T) {
	s := draw.NewKey("axes").Stream("s")
	for range 200 {
		p, q := random(s), random(s)
		a, b := p.Axes(), q.Axes()
		both := p.Then(q).Axes()
		for r := range 3 {
			var turned [3]float64 // q applied to row r of p: Σ p_r[i] · (image of axis i under q)
			for i := range 3 {
				for j := range 3 {
					turned[j] += a[3*r+i] * b[3*i+j]
				}
			}
			for j := range 3 {
				if math.Abs(turned[j]-both[3*r+j]) > 1e-14 {
					t.Fatalf("Then: row %d is %v, want %v", r, both, turned)
				}
			}
		}
		cross := a[0]*(a[4]*a[8]-a[5]*a[7]) - a[1]*(a[3]*a[8]-a[5]*a[6]) + a[2]*(a[3]*a[7]-a[4]*a[6])
		if math.Abs(cross-1) > 1e-14 {
			t.Fatalf("determinant %v", cross)
		}
	}
}

// symmetry422 are the eight proper rotations, written out apart from the formula under test.
func symmetry422() []Orientation {
	h := math.Sqrt2 / 2
	return []Orientation{{1, 0, 0, 0}, {0, 0, 0, 1}, {h, 0, 0, h}, {h, 0, 0, -h}, {0, 1, 0, 0}, {0, 0, 1, 0},
		{0, h, h, 0}, {0, h, -h, 0}}
}

// smallest is the disorientation by search over all 64 pairs of symmetries.
func smallest(p, q Orientation) float64 {
	best := 0.0
	for _, s := range symmetry422() {
		for _, r := range symmetry422() {
			m := s.Then(p).inverse() // symmetries act in the crystal: p·s
			w := r.Then(q).Then(m).W
			best = math.Max(best, math.Abs(w))
		}
	}
	return 2 * degree * math.Acos(math.Min(1, best))
}

func TestDisorientationIsTheSmallestOf64(t *testing.T) {
	s := draw.NewKey("pairs").Stream("s")
	for range 2000 {
		p, q := random(s), random(s)
		got := p.DisorientationDeg(q)
		if want := smallest(p, q); math.Abs(got-want) > 1e-6 { // acos near 1 loses half its digits
			t.Fatalf("disorientation of %v, %v: %v, want %v", p, q, got, want)
		}
		if back := q.DisorientationDeg(p); math.Abs(back-got) > 1e-12 {
			t.Fatalf("not symmetric: %v, %v", got, back)
		}
	}
}

func TestKnownPairs(t *testing.T) {
	up := Turned(0, 0, 0)
	corner := math.Tan(math.Pi / 8) // octagon corner of the Rodrigues zone: z = tan 22.5°, (x, y) at distance 1/cos 22.5°
	w := 1 / math.Sqrt(1+corner*corner+1+corner*corner)
	for _, c := range []struct {
		name      string
		q         Orientation
		dis, axis float64
	}{
		{"same", up, 0, 0},
		{"turned by 90", Turned(90, 0, 0), 0, 0},
		{"upside down", Turned(0, 180, 30), 30, 0}, // two-fold about an axis 30° from b: a turn of 60°, which is 30° from 90°
		{"turned by 3", Turned(3, 0, 0), 3, 0},
		{"turned by 50", Turned(50, 0, 0), 40, 0},
		{"tilted by 7", Turned(0, 7, 123), 7, 7},
		{"tilted by 1e-7", Turned(90, 1e-7, 45), 1e-7, 1e-7},
		{"c in the plane", Turned(0, 90, 0), 90, 90},
		{"tilted by 100", Turned(0, 100, 0), 80, 80},
		{"farthest", Orientation{w, w, w * corner, w * corner}, 98.42106, 90},
	} {
		if c.name == "farthest" {
			c.axis = up.CAxisAngleDeg(c.q) // only the disorientation is published
		}
		if got := up.DisorientationDeg(c.q); math.Abs(got-c.dis) > 1e-5*math.Min(1, c.dis+1e-9)+1e-14 {
			t.Errorf("%s: disorientation %v, want %v", c.name, got, c.dis)
		}
		if got := up.CAxisAngleDeg(c.q); math.Abs(got-c.axis) > 1e-9*math.Min(1, c.axis)+1e-14 {
			t.Errorf("%s: c axis angle %v, want %v", c.name, got, c.axis)
		}
	}
}

// Of random pairs: mean 63.0123°, SD 19.498°, maximum 98.42106°; F(ω) = (8/π)(ω − sin ω) below 45°
// (integrals over the Rodrigues zone of 422; H. Grimmer, Scripta Metall. 13 (1979) 161; A. Heinz &
// P. Neumann, Acta Cryst. A47 (1991) 780); angle between c axes F(ω) = 1 − cos ω. Tolerance 3
// standard errors at a fixed seed. Canary: a group without the diagonal two-folds must fail.
func TestRandomPairs(t *testing.T) {
	const n = 60000
	fits := func(dis func(p, q Orientation) float64) bool {
		s := draw.NewKey("disorientation").Stream("s")
		sum, most := 0.0, 0.0
		below := map[float64]int{10: 0, 20: 0, 30: 0, 44: 0}
		for range n {
			d := dis(random(s), random(s))
			sum += d
			most = math.Max(most, d)
			for limit := range below {
				if d < limit {
					below[limit]++
				}
			}
		}
		good := math.Abs(sum/n-63.0123) < 3*19.498/math.Sqrt(n) && most < 98.42107 && most > 97
		for limit, count := range below {
			w := limit * math.Pi / 180
			f := 8 / math.Pi * (w - math.Sin(w))
			good = good && math.Abs(float64(count)/n-f) < 3*math.Sqrt(f*(1-f)/n)
		}
		return good
	}
	if !fits(Orientation.DisorientationDeg) {
		t.Error("disorientations of random pairs do not follow 422")
	}
	wrong := func(p, q Orientation) float64 { // 222: four rotations
		m := q.Then(p.inverse()).in(p)
		return 2 * degree * math.Acos(math.Max(math.Max(math.Abs(m.W), math.Abs(m.Z)),
			math.Max(math.Abs(m.X), math.Abs(m.Y))))
	}
	if fits(wrong) {
		t.Error("disorientations under 222 pass for 422")
	}
}

func TestCAxesAndFibre(t *testing.T) {
	const n = 40000
	s := draw.NewKey("fibre").Stream("s")
	up := Turned(0, 0, 0)
	cone, near, fibre := 0, 0, 0.0
	for range n {
		if random(s).CAxisAngleDeg(random(s)) < 30 {
			cone++
		}
		d := up.DisorientationDeg(Turned(360*s.Uniform(), 0, 0))
		fibre += d
		if d < 15 {
			near++
		}
	}
	// F(30°) = 1 − cos 30°; fibre: uniform on [0, 45°], SD 12.9904, F(15°) = 1/3 (elementary)
	within := func(count int, f float64) bool {
		return math.Abs(float64(count)/n-f) < 3*math.Sqrt(f*(1-f)/n)
	}
	if !within(cone, 1-math.Cos(math.Pi/6)) || within(cone, 1-math.Cos(math.Pi/6.2)) {
		t.Errorf("c axes within 30°: %d of %d", cone, n)
	}
	if !within(near, 1.0/3) || within(near, 0.3) || math.Abs(fibre/n-22.5) > 3*12.9904/math.Sqrt(n) {
		t.Errorf("fibre: %d of %d below 15°, mean %v", near, n, fibre/n)
	}
}
