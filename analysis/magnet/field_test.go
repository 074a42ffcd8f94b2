package magnet

import (
	"math"
	"testing"
)

// near compares with a share of the wanted value.
func near(got, want, share float64) bool { return math.Abs(got-want) <= share*math.Abs(want) }

// value is the field at a place, between cells by the line of the nearest ones in each direction.
func (f *Field) value(x, y float64) float64 {
	u, v := (x-f.OriginMM[0])/f.CellMM, (y-f.OriginMM[1])/f.CellMM
	i, j := int(math.Floor(u+1e-9)), int(math.Floor(v+1e-9))
	p, q := u-float64(i), v-float64(j)
	b := func(i, j int) float64 { return f.BT[j*f.NX+i] }
	return (1-q)*((1-p)*b(i, j)+p*b(i+1, j)) + q*((1-p)*b(i, j+1)+p*b(i+1, j+1))
}

func trapped(t *testing.T, m *Map, j, thick, z float64) *Field {
	t.Helper()
	f, err := Trap(m, Conditions{CurrentAPerM2: j, ThicknessMM: thick, HeightMM: z})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

type axisRow struct{ j, w, t, z, b float64 }

// discs are values of the closed form on the axis of a disc (Bean current; Chen et al., J. Appl.
// Phys. 72 (1992) 1013), eight digits.
func discs() []axisRow {
	return []axisRow{{1e8, 12.5, 10, 0.5, 0.54332826}, {2e8, 15, 12, 1, 1.1833539},
		{5e7, 25, 15, 0, 0.60497445}, {1e8, 15, 1, 1, 0.12708521}}
}

// prisms are values on the axis of a square prism of concentric square loops, by quadrature to
// 1e-8.
func prisms() []axisRow {
	return []axisRow{{1e8, 12.5, 10, 0.5, 0.53359363}, {2e8, 15, 12, 1, 1.1697408},
		{5e7, 25, 15, 0, 0.58194595}, {2e8, 15, 12, 5, 0.58169327}}
}

// sizes are the cells across a body. On the face itself (z = 0) the field ends in a point, which
// only an odd number has in a cell.
func (row axisRow) sizes() []int {
	if row.z == 0 {
		return []int{101, 161}
	}
	return []int{100, 161}
}

// TestDisc: the closed form itself to its digits; the map to 0.5 %, the tolerance of a sum over
// cells five cells above the face.
func TestDisc(t *testing.T) {
	for _, row := range discs() {
		if !near(disc(row.j, row.w, row.t, row.z), row.b, 2e-8) {
			t.Errorf("closed form for %v: %v", row, disc(row.j, row.w, row.t, row.z))
		}
		for _, n := range row.sizes() {
			f := trapped(t, round(n, row.w, 0), row.j, row.t, row.z)
			if !near(f.PeakT(), row.b, 0.005) || len(f.Peaks) != 1 {
				t.Errorf("%v, %d cells: peaks %v", row, n, f.Peaks)
			}
			t.Logf("%v %d cells: off by %.5f %%", row, n, 100*(f.PeakT()/row.b-1))
			if wrong := trapped(t, round(n, row.w, 0), row.j*1.01, row.t, row.z); near(wrong.PeakT(), row.b, 0.005) {
				t.Errorf("canary: 1 %% more current passes for %v", row)
			}
		}
	}
}

// TestDiscOffAxis compares with elliptic-integral loops (Jc 2e8 A/m², radius 15, thickness 12,
// height 1 mm), seven digits.
func TestDiscOffAxis(t *testing.T) {
	f := trapped(t, round(161, 15, 0), 2e8, 12, 1)
	for _, row := range [][2]float64{{0.25, 0.9506624}, {0.5, 0.6062603}, {0.75, 0.2565677}, {0.9, 0.05965669}} {
		if got := f.value(15*row[0], 0); !near(got, row[1], 0.005) {
			t.Errorf("at %v of the radius: %v T, wanted %v", row[0], got, row[1])
		}
	}
	if near(f.value(15*0.5, 0), 0.6062603*1.01, 0.005) {
		t.Error("canary: 1 % passes")
	}
}

// TestSquare is the table of the square prism on its axis, to 0.5 %.
func TestSquare(t *testing.T) {
	for _, row := range prisms() {
		for _, n := range row.sizes() {
			f := trapped(t, square(n, row.w), row.j, row.t, row.z)
			if !near(f.PeakT(), row.b, 0.005) || len(f.Peaks) != 1 {
				t.Errorf("%v, %d cells: peaks %v", row, n, f.Peaks)
			}
			t.Logf("%v %d cells: off by %.5f %%", row, n, 100*(f.PeakT()/row.b-1))
			if wrong := trapped(t, square(n, row.w*1.02), row.j, row.t, row.z); near(wrong.PeakT(), row.b, 0.005) {
				t.Errorf("canary: a body 2 %% wider passes for %v", row)
			}
		}
	}
}

// TestSquareOffAxis: Jc 2e8 A/m², half width 15, thickness 12, height 1 mm; finite straight
// segments, seven digits. Tolerance 0.5 % as above; at (14, 0) the field is 0.4 % of the peak, and
// 0.5 % of the field beside it (0.08 T) is allowed.
func TestSquareOffAxis(t *testing.T) {
	table := []struct{ x, y, b float64 }{{0, 0, 1.169741}, {5, 0, 0.8284497}, {10, 0, 0.3583688}, {14, 0, 0.004666385},
		{5, 5, 0.7648254}, {10, 10, 0.3063296}, {10, 5, 0.3619981}, {16, 0, -0.0822465}}
	worst := func(f *Field) (share float64) {
		for _, row := range table {
			allowed := 0.005 * math.Max(math.Abs(row.b), 0.08)
			share = max(share, math.Abs(f.value(row.x, row.y)-row.b)/allowed)
		}
		return share
	}
	for _, n := range []int{160, 161, 240} {
		w := worst(trapped(t, square(n, 15), 2e8, 12, 1))
		t.Logf("%d cells: %.3f of what is allowed", n, w)
		if w > 1 {
			t.Errorf("%d cells: %.2f times what is allowed", n, w)
		}
	}
	f := trapped(t, square(161, 15), 2e8, 12, 1.02)
	if worst(f) <= 1 {
		t.Error("canary: a height 0.02 mm wrong passes")
	}
}

// TestConvergence: with cells half as wide the error at the centre falls to a third or less (second
// order, 1/4, off the face).
func TestConvergence(t *testing.T) {
	var off []float64
	fine := trapped(t, square(243, 15), 2e8, 12, 2).value(0, 0)
	for _, n := range []int{31, 61, 121} {
		off = append(off, math.Abs(trapped(t, square(n, 15), 2e8, 12, 2).value(0, 0)-fine))
	}
	for k := range off[1:] {
		if off[k+1] > off[k]/3 {
			t.Errorf("errors %v do not fall", off)
		}
	}
}

// TestMoments: pi Jc a³ t/3 and 4 Jc W³ t/3 (Jc 2e8, a = W = 15, t = 12 mm: 8.4823 and 10.8 A m²),
// exact integrals of g. The sum over n cells is off by a share of order (1/n)², for g has kinks
// only.
func TestMoments(t *testing.T) {
	d, s := trapped(t, round(150, 15, 0), 2e8, 12, 1).MomentAM2, trapped(t, square(150, 15), 2e8, 12, 1).MomentAM2
	if !near(d, 8.4823, 2e-4) || !near(s, 10.8, 2e-4) {
		t.Errorf("moments %v and %v A m²", d, s)
	}
	if s = trapped(t, square(150, 15.01), 2e8, 12, 1).MomentAM2; near(s, 10.8, 2e-4) {
		t.Error("canary: half a thousandth more of the half width passes")
	}
}

// TestRing: on the axis of a ring with azimuthal current everywhere the field is that of the disc
// less that of the hole.
func TestRing(t *testing.T) {
	const j, outer, inner, thick, z = 1e8, 15.0, 6.0, 10.0, 1.0
	want := disc(j, outer, thick, z) - disc(j, inner, thick, z)
	for _, n := range []int{100, 151} {
		if got := trapped(t, round(n, outer, inner), j, thick, z).value(0, 0); !near(got, want, 0.005) {
			t.Errorf("%d cells: %v T on the axis, wanted %v", n, got, want)
		}
	}
	m := round(151, outer, inner)
	for u, g := range m.Grain {
		if x, y := m.at(u); g == 0 && y > 0 && x > 0 {
			m.Grain[u] = 1
		}
	}
	// Cut by boundaries that pass nothing it is two bows, each with currents both ways: hardly any
	// field on the axis.
	if got := trapped(t, m, j, thick, z).value(0, 0); near(got, want, 0.5) {
		t.Errorf("canary: a cut ring still traps %v T", got)
	}
	m.Share = func(p, q int32) float64 { return 1 }
	if got := trapped(t, m, j, thick, z).value(0, 0); !near(got, want, 0.005) {
		t.Errorf("joined again it traps %v T, wanted %v", got, want)
	}
}

func TestTrapRefuses(t *testing.T) {
	good := Conditions{1e8, 10, 1}
	for name, m := range map[string]*Map{
		"nil": nil, "no cells": {CellMM: 1}, "short": {NX: 2, NY: 2, CellMM: 1, Grain: make([]int32, 3)},
		"cell":   {NX: 1, NY: 1, Grain: []int32{0}},
		"origin": {NX: 1, NY: 1, CellMM: 1, Grain: []int32{0}, OriginMM: [2]float64{math.NaN()}},
		"grain":  {NX: 1, NY: 1, CellMM: 1, Grain: []int32{-3}},
		"rim":    {NX: 1, NY: 1, CellMM: 1, Grain: []int32{0}, OuterMM: 1, InnerMM: 2},
		"share":  {NX: 2, NY: 1, CellMM: 1, Grain: []int32{0, 1}, Share: func(p, q int32) float64 { return 2 }},
		"large":  {NX: 1 << 20, NY: 1 << 20, CellMM: 1},
	} {
		if _, err := Trap(m, good); err == nil {
			t.Errorf("%s is accepted", name)
		}
	}
	for _, c := range []Conditions{{0, 10, 1}, {1e8, 0, 1}, {1e8, 10, -1}, {math.NaN(), 10, 1}} {
		if _, err := Trap(square(10, 1), c); err == nil {
			t.Errorf("%v is accepted", c)
		}
	}
	f := trapped(t, made(5, 5, func(x, y float64) int32 { return Void }), 1e8, 10, 1)
	if f.PeakT() != 0 || f.Peaks != nil || f.MomentAM2 != 0 {
		t.Errorf("a body without current traps %v", f.Peaks)
	}
}
