package kinetics

import (
	"math"
	"strings"
	"testing"
)

func TestTableIsLinearBetweenAndConstantBeyond(t *testing.T) {
	table, err := NewTable([]float64{0, 5, 10}, []float64{0, 0.1, 0.3})
	if err != nil {
		t.Fatal(err)
	}
	for u, want := range map[float64]float64{-1: 0, 0: 0, 2.5: 0.05, 5: 0.1, 7: 0.18, 10: 0.3, 25: 0.3} {
		if got := table.Rate(u); !near(got, want, 1e-15) {
			t.Errorf("rate at %v K: %v, want %v", u, got, want)
		}
	}
	// areas of triangle, trapezium and rectangle
	for u, want := range map[float64]float64{-1: 0, 0: 0, 5: 0.25, 10: 1.25, 20: 4.25, 7: 0.25 + 0.28} {
		if got := table.Integral(u); !near(got, want, 1e-14) {
			t.Errorf("integral to %v K: %v, want %v", u, got, want)
		}
	}
	if got := Length(table, 4, 12, 8); !near(got, 0.09+1+0.6, 1e-14) {
		t.Errorf("across two kinks: %v", got)
	}
	if got := Length(table, 15, 30, 2); !near(got, 0.6, 1e-14) {
		t.Errorf("beyond the last point: %v", got)
	}
	if got := Length(table, 5-1e-9, 5+1e-9, 1); !near(got, 0.1, 1e-9) {
		t.Errorf("a short span across a kink: %v", got)
	}
	if (Table{}).Rate(5) != 0 || (Table{}).Integral(5) != 0 || Length(Table{}, 1, 2, 3) != 0 {
		t.Error("the zero table grows")
	}
	without, err := NewTable([]float64{5, 10}, []float64{0.1, 0.3})
	if err != nil || without.Integral(10) != table.Integral(10) {
		t.Errorf("the point (0, 0) is not added: %v %v", without.Integral(10), err)
	}
}

// A table of a power law at close points grows as the law does: the chord of a convex curve is high
// by n(n−1)/12 (step/ΔT)² on average.
func TestTableFollowsALaw(t *testing.T) {
	a, _ := faces()
	fits := func(n float64) bool {
		var u, r []float64
		for k := 1; k <= 300; k++ {
			u = append(u, float64(k)/10)
			r = append(r, Power{a.RateAt10K, n}.Rate(float64(k)/10))
		}
		table, err := NewTable(u, r)
		return err == nil && near(Length(table, 5, 25, 50), Length(a, 5, 25, 50), 1e-4)
	}
	if !fits(1.9) || fits(1.8) {
		t.Error("table of a power law: exponent 1.9 must fit and 1.8 must not")
	}
}

func TestTableErrorsNameThePoint(t *testing.T) {
	for _, c := range []struct {
		u, r []float64
		want string
	}{
		{[]float64{1, 2}, []float64{1}, "2 undercoolings but 1 rates"},
		{nil, nil, "no points"},
		{[]float64{1, 1}, []float64{1, 1}, "point 2: undercooling 1 K does not exceed"},
		{[]float64{-1}, []float64{1}, "point 1: undercooling -1 K"},
		{[]float64{0}, []float64{1}, "point 1: rate 1 at 0 K"},
		{[]float64{1}, []float64{-1}, "point 1: rate -1 at 1 K"},
		{[]float64{math.NaN()}, []float64{1}, "point 1: undercooling NaN K"},
		{[]float64{1}, []float64{math.Inf(1)}, "rate +Inf"},
	} {
		if _, err := NewTable(c.u, c.r); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("points %v, %v: error %v, want %q", c.u, c.r, err, c.want)
		}
	}
}
