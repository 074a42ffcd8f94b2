package sim_test

import (
	"hash/fnv"
	"math"
	"sync"
	"testing"

	"onegrain/sim"
	"onegrain/sim/body"
	"onegrain/sim/draw"
	"onegrain/sim/furnace"
	"onegrain/sim/growth"
	"onegrain/sim/kinetics"
	"onegrain/sim/nucleation"
	"onegrain/sim/nucleation/rate"
)

// grown is one replicate of a case.
func grown(c *sim.Case, key draw.Key) *sim.Outcome { return sim.Seeded(c, key).Strays(key) }

// puck is the 24 mm × 8 mm body of the first catalog study, coarse, cooled from 8 K on.
func puck(t *testing.T, cellMM, coolingKPerH float64) *sim.Case {
	t.Helper()
	g, err := body.Disc(24, 8, cellMM, -1)
	if err != nil {
		t.Fatal(err)
	}
	return &sim.Case{Grid: g, GrowthA: kinetics.Power{RateAt10K: 0.134, Exponent: 1.9},
		GrowthC: kinetics.Power{RateAt10K: 0.201, Exponent: 1.3},
		Cooling: furnace.Cooling{Programme: cooling(8, 30, coolingKPerH)}, Seeds: []sim.Seed{{SizeMM: [2]float64{2, 2}}},
		Nuclei: nucleation.Model{Melt: rate.Barrier{PrefactorPerUnitH: 1.1e4, BarrierK3: 1.12e7, PeritecticK: 1283.15}}}
}

// cooling melts the body, jumps to one undercooling and cools to another.
func cooling(fromK, toK, ratePerH float64) furnace.Programme {
	s := furnace.Schedule{StartC: 1045, Stages: []furnace.Stage{
		{Kind: furnace.ToUndercooling, ToUndercoolingK: fromK, RateKPerH: 1e5},
		{Kind: furnace.ToUndercooling, ToUndercoolingK: toK, RateKPerH: ratePerH},
	}}
	return s.Programme(1010)
}

// look is a digest of all owners, sectors and times, the cells of each sector, and the cells that
// stayed liquid.
func look(o *sim.Outcome) (digest uint64, sectors [7]int, liquid int) {
	h := fnv.New64a()
	n := o.Case.Grid.N
	row := make([]growth.Cell, n[0])
	for k := range n[2] {
		for j := range n[1] {
			o.Field.Row(j, k, row)
			for _, c := range row {
				bits := math.Float32bits(c.TimeH)
				_, _ = h.Write([]byte{byte(c.Grain), byte(c.Grain >> 8), c.Sector, byte(bits), byte(bits >> 8), byte(bits >> 16),
					byte(bits >> 24)})
				if c.Grain >= 0 {
					sectors[c.Sector]++
				} else if c.Grain == growth.Liquid {
					liquid++
				}
			}
		}
	}
	return h.Sum64(), sectors, liquid
}

// Source: growth sectors of a square seed on a block, a truncated pyramid by elementary geometry
// (F. C. Frank, in Growth and Perfection of Crystals, Wiley 1958, p. 411): c fraction 0.475 and
// 0.13125 in each a sector for a body of half width 15 mm and height 12 mm, a seed of 3 mm and
// R_a/R_c = 1.35. Tolerance: a boundary off by half a cell, h/W, for the c sector; the cells on the
// diagonals are h/W of all a sectors and go to the first of two equal faces, so each sector gains
// or loses a quarter of that at the most. Canary: R_a/R_c = 1.5 has 0.53.
func TestSectorsOfATopSeed(t *testing.T) {
	const h = 0.5
	fraction := func(ratio float64) (c float64, a [4]float64) {
		g, err := body.Block([3]float64{30, 30, 12}, h, -1, false)
		if err != nil {
			t.Fatal(err)
		}
		on := &sim.Case{Grid: g, GrowthA: kinetics.Power{RateAt10K: 0.135, Exponent: 1.9},
			GrowthC: kinetics.Power{RateAt10K: 0.135 / ratio, Exponent: 1.9},
			Cooling: furnace.Cooling{Programme: cooling(10, 40, 0.2)}, Seeds: []sim.Seed{{SizeMM: [2]float64{3, 3}}}}
		_, sectors, liquid := look(sim.Seeded(on, draw.NewKey("sectors")))
		if liquid > 0 || sectors[4] > 0 || sectors[5] == 0 {
			t.Fatalf("%d cells liquid, sectors %v: a top seed has one c sector, downwards", liquid, sectors)
		}
		all := float64(g.Cells())
		for i := range a {
			a[i] = float64(sectors[i]) / all
		}
		return float64(sectors[5]+sectors[6]) / all, a
	}
	c, a := fraction(1.35)
	if math.Abs(c-0.475) > h/15 {
		t.Errorf("c sector %.4f of the body, want 0.475", c)
	}
	for i := range a {
		if math.Abs(a[i]-0.13125) > 0.525*h/15/4 {
			t.Errorf("a sectors %v, want 0.13125 each", a)
		}
	}
	if c, _ := fraction(1.5); math.Abs(c-0.475) <= h/15 {
		t.Errorf("a ratio of 1.5 passes with %.4f", c)
	}
}

// The same case and key must give the same bits at any time and beside any other run, and other
// keys other strays.
func TestSameKeySameBits(t *testing.T) {
	c := puck(t, 0.4, 0.6)
	ready := sim.Prepare(c)
	var got [6]uint64
	var wg sync.WaitGroup
	for i := range got {
		wg.Go(func() {
			key := draw.NewKey("bits", string(rune('a'+i%3)))
			got[i], _, _ = look(ready.Seeded(key).Strays(key))
		})
	}
	wg.Wait()
	for i := range 3 {
		if got[i] != got[i+3] {
			t.Errorf("key %d gave two answers", i)
		}
		if got[i] == got[(i+1)%3] {
			t.Errorf("keys %d and %d gave one answer", i, (i+1)%3)
		}
	}
	alone := grown(c, draw.NewKey("bits", "a"))
	if d, _, _ := look(alone); d != got[0] {
		t.Error("a run alone differs from one among others")
	}
	if len(alone.Grains) < 2 {
		t.Error("cooling at 0.6 K/h should have brought strays")
	}
	for i, g := range alone.Grains[1:] {
		if g.Origin != nucleation.Melt || g.Seed != -1 || !(g.BornH > 0) || !(g.BornUndercoolingK > 8) ||
			(i > 0 && g.BornH < alone.Grains[i].BornH) {
			t.Errorf("stray %d: %+v", i, g)
		}
	}
}

// Where no nucleus meets liquid the run without strays is the answer, and it is the very one.
func TestVoidNucleiChangeNothing(t *testing.T) {
	c := puck(t, 0.4, 0.2)
	seeded := sim.Seeded(c, draw.NewKey("calm"))
	o := seeded.Strays(draw.NewKey("calm"))
	if o != seeded {
		t.Fatalf("a slow cooling brought %d strays", len(o.Grains)-1)
	}
	if _, _, liquid := look(o); liquid > 0 || math.IsInf(o.Field.FullByH(), 1) {
		t.Errorf("%d cells liquid, full by %g h", liquid, o.Field.FullByH())
	}
}

// Placing scatter is drawn for each key; without scatter all keys place alike.
func TestPlacing(t *testing.T) {
	c := puck(t, 0.8, 0.4)
	a, b := sim.Seeded(c, draw.NewKey("1")), sim.Seeded(c, draw.NewKey("2"))
	if c.Scattered() || a.Grains[0].Orientation != b.Grains[0].Orientation {
		t.Error("seeds without scatter lie differently")
	}
	c.Seeds[0].TurnSDDeg, c.Seeds[0].TiltSDDeg = 2, 1
	sum, n := 0.0, 400
	for i := range n {
		q := sim.Seeded(c, draw.NewKey("scatter", string(rune(i)))).Grains[0].Orientation
		tilt := math.Acos(math.Min(1, q.Axes()[8])) * 180 / math.Pi
		sum += tilt * tilt
	}
	// two normal components of 1°: the mean square is 2, and the mean of n exponentials scatters by
	// 1/√n of itself
	if mean := sum / float64(n); !c.Scattered() || math.Abs(mean-2) > 3*2/math.Sqrt(float64(n)) {
		t.Errorf("mean square tilt %.3f, want 2", mean)
	}
}

// In the planes a crystal stays in the plane, and the body fills.
func TestPlanes(t *testing.T) {
	for _, flat := range []int{1, 2} {
		g, err := body.Block([3]float64{20, 20, 10}, 0.2, flat, false)
		if err != nil {
			t.Fatal(err)
		}
		c := puck(t, 0.8, 0.4)
		c.Grid = g
		c.Seeds[0].TurnDeg, c.Seeds[0].TiltDeg = 20, 3
		o := sim.Seeded(c, draw.NewKey("plane"))
		if _, sectors, liquid := look(o); liquid > 0 || sectors[0] == 0 || (flat == 2) != (sectors[2] > 0) ||
			(flat == 1) != (sectors[5] > 0) {
			t.Errorf("flat axis %d: %d liquid, sectors %v", flat, liquid, sectors)
		}
		if axes := o.Grains[0].Orientation.Axes(); math.Abs(math.Abs(axes[3*flat+flat])-1) > 1e-12 {
			t.Errorf("flat axis %d: the crystal leans out of the plane: %v", flat, axes)
		}
	}
}

// TestGrowthBeginsWhereTheSeedIs: cooled by 1 K/h, a seed 8 mm from the axis becomes undercooled 8
// mm · g_r / (1 K/h) before or after the centre of the top face. Exact but for rounding. Faces that
// grow 0.5 mm/h at any undercooling capture the first cell, half a cell below, half an hour later;
// the coldest of those under the seed lies up to √2 mm further in or out. Canary: the centre's
// hour.
func TestGrowthBeginsWhereTheSeedIs(t *testing.T) {
	const cell = 0.5
	g, err := body.Disc(24, 4, cell, -1)
	if err != nil {
		t.Fatal(err)
	}
	for _, radial := range []float64{-1, -0.3, 0.3, 1} {
		on := &sim.Case{Grid: g, GrowthA: kinetics.Power{RateAt10K: 0.5}, GrowthC: kinetics.Power{RateAt10K: 0.5},
			Cooling: furnace.Cooling{Programme: cooling(-20, 40, 1), Gradient: furnace.Gradient{RadialKPerMM: radial}},
			Seeds:   []sim.Seed{{AtMM: [2]float64{8.25, 0.25}, SizeMM: [2]float64{2, 2}}}}
		on.Programme.Knots[0].UndercoolingK = -35
		o := sim.Seeded(on, draw.NewKey("where"))
		first := math.Inf(1)
		row := make([]growth.Cell, g.N[0])
		for j := range g.N[1] {
			o.Field.Row(j, g.N[2]-1, row)
			for _, c := range row {
				if c.Grain >= 0 {
					first = math.Min(first, float64(c.TimeH))
				}
			}
		}
		at := func(offset float64) float64 { return on.Programme.Knots[1].TimeH + 20 + offset } // 1 K/h from −20 K on
		want := at(radial * math.Hypot(8.25, 0.25))
		if got := o.Grains[0].BornH; math.Abs(got-want) > 1e-9 || math.Abs(got-at(0)) < 1 {
			t.Errorf("%v K/mm: growth begins at %v h, wanted %v; at the centre %v", radial, got, want, at(0))
		}
		inTime := func(begin float64) bool { return math.Abs(first-begin-0.25) <= 0.25+math.Sqrt2*math.Abs(radial) }
		if !inTime(want) || inTime(at(0)) {
			t.Errorf("%v K/mm: first cell at %v h, wanted half an hour after %v, not after %v", radial, first, want, at(0))
		}
	}
}
