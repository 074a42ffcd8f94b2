package draws

import (
	"math"
	"testing"

	"onegrain/sim/nucleation"
)

// TestOnset: a law made from its onset gives one stray a day (sites: one at all) in 4000 mm³ there,
// rises as it says (but for sites at 0 K and below, which are none), and leads back. Canary: an
// onset 0.1 K off.
func TestOnset(t *testing.T) {
	for _, o := range []Onset{{Barrier, 20, 20, 0}, {Barrier, 11, 45, 0}, {Barrier, 28, 9, 0},
		{Sites, 20, 1.8, 0.05}, {Sites, 12, 0.8, 5}, {Sites, 25, 4, 0.01}} {
		var l Law
		if !o.Put(&l, 1010) {
			t.Fatalf("%+v: no law", o)
		}
		law := l.Laws(1010).Nuclei.Law(nucleation.Melt)
		at := func(u float64) float64 {
			if o.Family == Sites {
				return 4000 * law.Expected(0, u, 0, 0)
			}
			return 4000 * law.Expected(u, u, 24, u)
		}
		if math.Abs(at(o.DailyK)-1) > 1e-5 || math.Abs(at(o.DailyK+0.1)-1) < 0.01 {
			t.Errorf("%+v: %v strays", o, at(o.DailyK))
		}
		rise := (math.Log(at(o.DailyK+1e-4)) - math.Log(at(o.DailyK-1e-4))) / 2e-4
		if math.Abs(math.Ln2/rise/o.DoublesK(1010)-1) > 1e-5 {
			t.Errorf("%+v: doubles every %v K, wanted %v", o, math.Ln2/rise, o.DoublesK(1010))
		}
		back := OnsetOf(l, 1010)
		if math.Abs(back.DailyK-o.DailyK) > 1e-9 || math.Abs(back.Steepness/o.Steepness-1) > 1e-9 ||
			back.DensityPerMM3 != o.DensityPerMM3 {
			t.Errorf("%+v: back to %+v", o, back)
		}
	}
	// the example that the law was designed with
	var l Law
	Onset{Sites, 20, 1.8, 0.05}.Put(&l, 1010)
	if math.Abs(l.SpreadK-1.61) > 0.005 || math.Abs(l.MeanK-24.14) > 0.01 {
		t.Errorf("spread %v, mean %v", l.SpreadK, l.MeanK)
	}
	for _, o := range []Onset{{Sites, 20, 1.8, 1e-4}, {Barrier, -1, 20, 0}, {Barrier, 20, 0, 0}} {
		if o.Put(&Law{}, 1010) {
			t.Errorf("%+v: is a law", o)
		}
	}
	if never := OnsetOf(Law{Family: Barrier, PrefactorPerMM3H: 1e-9, BarrierK3: 1e7}, 1010); never.DailyK == never.DailyK {
		t.Errorf("a stray a day at %v", never.DailyK)
	}
}

// TestMiddle: medians in the coordinates of the likelier family.
func TestMiddle(t *testing.T) {
	var laws []Law
	for i, u := range []float64{19, 20, 24} {
		l := Law{RateA: 0.1 + 0.01*float64(i), ExponentA: 1.5, ScatterK: float64(i), OffsetK: []float64{0, float64(-i)}}
		l.PutC(18+float64(i), 0.5)
		Onset{Barrier, u, 10 + 5*float64(i), 0}.Put(&l, 1010)
		laws = append(laws, l)
	}
	other := Law{ExponentA: 9}
	Onset{Sites, 5, 1, 1}.Put(&other, 1010)
	laws = append(laws, other, other)
	m := Middle(laws, 1010)
	o := OnsetOf(m, 1010)
	if m.Family != Barrier || math.Abs(o.DailyK-20) > 1e-6 || math.Abs(o.Steepness-15) > 1e-6 || m.RateA != 0.11 ||
		m.ExponentA != 1.5 || math.Abs(EqualK(m)-19) > 1e-9 || m.ScatterK != 1 || m.OffsetK[1] != -1 {
		t.Errorf("%+v, %+v", m, o)
	}
	if Middle(nil, 1010).Family != "" {
		t.Error("a middle of nothing")
	}
}
