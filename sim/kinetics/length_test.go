package kinetics

import (
	"math"
	"testing"
)

// The reference kinetics, illustrative: rates alpha·ΔT^n in mm/s with alpha 2.8e-6 (a) and 1e-6
// (c), here per hour at 10 K.
func faces() (a, c Power) {
	return Power{2.8e-6 * 3600 * math.Pow(10, 1.9), 1.9}, Power{1e-6 * 3600 * math.Pow(10, 1.3), 1.3}
}

func near(got, want, relative float64) bool { return math.Abs(got-want) <= relative*math.Abs(want) }

// Ramps from the peritectic temperature: L = R(ΔT_end) t/(n+1) (elementary calculus; computed apart
// from this code, ten digits, so the tolerance is 1e-9). Canary: an exponent of 1.8 in place of
// 1.9.
func TestRampLengths(t *testing.T) {
	rows := []struct{ slope, hours, la, lc float64 }{
		{0.2, 20, 0.9682923783, 0.1897940744}, {0.2, 40, 7.227589875, 0.9346556577}, {0.5, 20, 5.521950763, 0.6246038551},
		{0.5, 40, 41.21729791, 3.075910187}, {1, 20, 20.60864896, 1.537955094}, {1, 40, 153.8283951, 7.573779286},
	}
	a, c := faces()
	for _, r := range rows {
		if got := Length(a, 0, r.slope*r.hours, r.hours); !near(got, r.la, 1e-9) {
			t.Errorf("a, %v K/h for %v h: %.10g mm, want %v", r.slope, r.hours, got, r.la)
		}
		if got := Length(c, 0, r.slope*r.hours, r.hours); !near(got, r.lc, 1e-9) {
			t.Errorf("c, %v K/h for %v h: %.10g mm, want %v", r.slope, r.hours, got, r.lc)
		}
		wrong := Power{a.RateAt10K, 1.8}
		if near(Length(wrong, 0, r.slope*r.hours, r.hours), r.la, 1e-9) {
			t.Errorf("exponent 1.8 passes at %v K/h, %v h", r.slope, r.hours)
		}
	}
}

func TestInverseOfRamps(t *testing.T) {
	a, c := faces()
	for _, r := range []struct{ slope, la, ta, lc, tc float64 }{
		{0.2, 13.5, 49.61644007, 12, 121.3470955}, {0.5, 13.5, 27.22113848, 12, 72.29475196},
		{1, 13.5, 17.28541202, 12, 48.86066609},
	} {
		if got := Time(a, 0, r.slope, r.la); !near(got, r.ta, 1e-9) {
			t.Errorf("a at %v K/h: %.10g h, want %v", r.slope, got, r.ta)
		}
		if got := Time(c, 0, r.slope, r.lc); !near(got, r.tc, 1e-9) {
			t.Errorf("c at %v K/h: %.10g h, want %v", r.slope, got, r.tc)
		}
		if near(Time(Power{a.RateAt10K, 1.8}, 0, r.slope, r.la), r.ta, 1e-9) {
			t.Error("exponent 1.8 passes")
		}
	}
}

// 5 K, 0.3 K/h for 30 h, then a hold of 10 h; and a start 2 K above the peritectic.
func TestPiecewiseLengths(t *testing.T) {
	a, c := faces()
	for _, r := range []struct {
		law          Power
		ramp, finish float64
	}{{a, 23.18516514, 38.35929512}, {c, 2.045694892, 3.158115299}} {
		ramp := Length(r.law, 5, 14, 30)
		if !near(ramp, r.ramp, 1e-9) || !near(ramp+Length(r.law, 14, 14, 10), r.finish, 1e-9) {
			t.Errorf("exponent %v: %.10g, then %.10g", r.law.Exponent, ramp, ramp+Length(r.law, 14, 14, 10))
		}
	}
	if got := Length(a, -2, 4, 20); !near(got, 0.6455282522, 1e-9) {
		t.Errorf("start above the peritectic: %.10g mm", got)
	}
	if got := Time(a, -2, 0.3, 0.6455282522); !near(got, 20, 1e-9) {
		t.Errorf("start above the peritectic: %.10g h", got)
	}
}

// Slopes that go to zero, also downwards, join the hold smoothly: to first order the mean rate is
// that of the middle, and the second-order term n(n−1)/24 (span/ΔT)² is added. The rest is of the
// order (span/ΔT)⁴ < 1e-12 for spans below 1e-3.
func TestSlopeToZero(t *testing.T) {
	a, _ := faces()
	for _, span := range []float64{1e-3, 1e-5, 1e-7, 1e-9, 1e-11, 1e-13, 0} {
		for _, sign := range []float64{1, -1} {
			from, to := 12.0, 12*(1+sign*span)
			want := 10 * a.Rate(0.5*(from+to)) * (1 + 1.9*0.9/24*math.Pow((to-from)*2/(from+to), 2))
			if got := Length(a, from, to, 10); !near(got, want, 1e-11) {
				t.Errorf("span %v: %.15g, want %.15g", span, got, want)
			}
		}
	}
	if Length(a, 3, 9, 0) != 0 || Length(a, -3, -1, 5) != 0 || Length(a, 0, 0, 5) != 0 || Length(a, -1, 0, 5) != 0 ||
		Length(a, 3, 9, math.NaN()) != 0 {
		t.Error("no time or no undercooling must give no length")
	}
	if got, want := Length(a, 8, -4, 12), Length(a, 8, 0, 8); !near(got, want, 1e-14) {
		t.Errorf("re-heating through the peritectic: %v, want %v", got, want)
	}
}

func TestTimeInvertsLength(t *testing.T) {
	a, c := faces()
	table, err := NewTable([]float64{2, 5, 10, 20}, []float64{0, 0.05, 0.05, 0.4})
	if err != nil {
		t.Fatal(err)
	}
	for name, l := range map[string]Law{"a": a, "c": c, "table": table, "plain": plain{a}} {
		for _, from := range []float64{-3, 0, 1e-6, 0.5, 4.9, 12, 40} {
			for _, slope := range []float64{-0.7, -1e-9, 0, 1e-12, 1e-6, 0.01, 0.4, 60} {
				for _, h := range []float64{1e-5, 0.3, 7, 90} {
					length := Length(l, from, from+slope*h, h)
					if length < 1e-12 || from+slope*h < 0 {
						continue
					}
					got := Time(l, from, slope, length)
					if back := Length(l, from, from+slope*got, got); !near(back, length, 1e-9) {
						t.Errorf("%s from %v at %v K/h for %v h: Time %v gives %v of %v mm", name, from, slope, h, got, back, length)
					}
				}
			}
		}
	}
}

// plain hides what a law knows beyond the interface.
type plain struct{ law Law }

func (p plain) Rate(u float64) float64     { return p.law.Rate(u) }
func (p plain) Integral(u float64) float64 { return p.law.Integral(u) }

func TestNever(t *testing.T) {
	a, _ := faces()
	inf := math.Inf(1)
	for name, c := range map[string]struct{ got, want float64 }{
		"above, holding":     {Time(a, -1, 0, 1), inf},
		"above, heating":     {Time(a, -1, -1, 1), inf},
		"at zero, holding":   {Time(a, 0, 0, 1), inf},
		"melts before":       {Time(a, 5, -1, 100), inf},
		"no growth":          {Time(Power{0, 2}, 5, 1, 1), inf},
		"no growth, holding": {Time(Power{0, 2}, 5, 0, 1), inf},
		"no length":          {Time(a, -1, 0, 0), 0},
		"empty table":        {Time(Table{}, 5, 1, 1), inf},
	} {
		if c.got != c.want {
			t.Errorf("%s: %v, want %v", name, c.got, c.want)
		}
	}
}
