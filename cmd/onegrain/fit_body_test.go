package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"onegrain/analysis/fit"
	"onegrain/analysis/logbook"
	"onegrain/studies/again"
	"onegrain/studies/liquid"
)

// An independent little simulation of a puck: 24 × 8 mm, one seed of 2 × 2 mm on top, the laws of
// "Y123, air" written out. A free grain is a box, 2 + 2 a wide and c deep, cut by a cylinder; the
// cylinder is a lattice of columns 0.1 mm wide, sorted by the a at which the box reaches them.
type puck []float64

func newPuck() (p puck) {
	const pitch = 0.1
	for x := -12 + pitch/2; x < 12; x += pitch {
		for y := -12 + pitch/2; y < 12; y += pitch {
			if x*x+y*y < 144 {
				p = append(p, math.Max(0, math.Max(math.Abs(x), math.Abs(y))-1))
			}
		}
	}
	sort.Float64s(p)
	return p
}

func (p puck) liquid(a, c float64) float64 {
	share := float64(sort.SearchFloat64s(p, a)) / float64(len(p))
	return math.Pi * 144 * 8 * (1 - share*math.Min(1, c/8))
}

// trueRate is the rate of strays in 1/(mm³ h) at 1010 °C less u K.
func trueRate(u float64) float64 { return 1.1e4 * math.Exp(-1.12e7/((1283.15-u)*u*u)) }

// walked goes along stages in small steps and calls look in the last of them, with the
// undercooling, the liquid then, and the hours of the step.
func (p puck) walked(stages []logbook.Stage, look func(u, liquid, hours float64)) {
	const steps = 500
	a, c := 0.0, 0.0
	for n, s := range stages {
		for i := range steps {
			u, h := s.FromK+(s.ToK-s.FromK)*(float64(i)+0.5)/steps, s.Hours/steps
			da, dc := 0.134*math.Pow(u/10, 1.9)*h, 0.201*math.Pow(u/10, 1.3)*h
			if n == len(stages)-1 {
				look(u, p.liquid(a+da/2, c+dc/2), h)
			}
			a, c = a+da, c+dc
		}
	}
}

// expected are the strays and the mean liquid of the last of some stages.
func (p puck) expected(stages []logbook.Stage, rate func(u float64) float64) (strays, mean float64) {
	p.walked(stages, func(u, liquid, h float64) {
		strays, mean = strays+rate(u)*liquid*h, mean+liquid*h/stages[len(stages)-1].Hours
	})
	return strays, mean
}

const puckBody = `title = "The puck of the furnace book"
[material]
base = "Y123, air"
[body]
shape = "disc"
diameter_mm = 24
height_mm = 8
cell_mm = %g
[[seed]]
size_mm = [2, 2]
[schedule]
[[schedule.stage]]
to_C = 1045
rate_K_per_h = 100
[[schedule.stage]]
to_undercooling_K = 8
rate_K_per_h = 60
[[schedule.stage]]
to_undercooling_K = 30
rate_K_per_h = 0.4
`

func writePuck(t *testing.T, cellMM float64) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "puck.toml")
	if err := os.WriteFile(path, []byte(fmt.Sprintf(puckBody, cellMM)), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// strayLaw is what `fit nuclei --json` tells.
type strayLaw struct {
	Places []struct {
		Prefactor ends `json:"prefactor_per_unit_h"`
		Barrier   ends `json:"barrier_K3"`
		Daily     ends `json:"undercooling_for_one_stray_a_day_K"`
		Size      float64
		Rows      []struct {
			Expected float64 `json:"expected_strays"`
		}
	}
}

// dailyK is where the true law gives one stray a day in so many mm³.
func dailyK(mm3 float64) float64 {
	low, high := 5.0, 40.0
	for range 60 {
		if u := (low + high) / 2; 24*mm3*trueRate(u) < 1 {
			low = u
		} else {
			high = u
		}
	}
	return low
}

// TestLiquidAlongARow: what the fitted law expects in each row, with the liquid of the engine, is
// what the little simulation expects with that law. Tolerance: the engine puts a cell of 0.2 mm at
// its centre, which moves the liquid of a body 12 mm wide by a part of 1/100; where little is left
// only strays that count are compared. Rows: cooled, held, two stages of a run, a stage with
// nothing but a width, and one looked at on top, too. Canary: the mean liquid.
func TestLiquidAlongARow(t *testing.T) {
	rows := []struct {
		text   string
		stages []logbook.Stage
	}{
		{"A,12,24,18,melt,5", []logbook.Stage{{FromK: 12, ToK: 24, Hours: 18}}},
		{"B,8,24,25,melt,2", []logbook.Stage{{FromK: 8, ToK: 24, Hours: 25}}},
		{"C,21,21,12,melt,2", []logbook.Stage{{FromK: 21, ToK: 21, Hours: 12}}},
		{"D,16,16,10,,", nil},
		{"D,16,26,9,melt,4", []logbook.Stage{{FromK: 16, ToK: 16, Hours: 10}, {FromK: 16, ToK: 26, Hours: 9}}},
		{"D,16,26,9,top,0", nil},
		{"D,24,24,2,melt,0", []logbook.Stage{{FromK: 16, ToK: 16, Hours: 10}, {FromK: 16, ToK: 26, Hours: 9},
			{FromK: 24, ToK: 24, Hours: 2}}},
	}
	sheet := "run,start_undercooling_K,end_undercooling_K,hours,place,strays\n"
	for _, r := range rows {
		sheet += r.text + "\n"
	}
	var got strayLaw
	fitted(t, &got, sheet, "nuclei", "--body", writePuck(t, 0.2), "--barrier", "1.12e7")
	p, law := newPuck(), got.Places[0]
	rate := func(u float64) float64 { return *law.Prefactor.Value / 1.1e4 * trueRate(u) }
	off, n := 0, 0
	for _, r := range rows {
		if r.stages == nil {
			continue
		}
		found := law.Rows[n].Expected
		n++
		want, mean := p.expected(r.stages, rate)
		if math.Abs(found-want) > 0.03*want+0.005 {
			t.Errorf("%s: %g strays expected, wanted %g", r.text, found, want)
		}
		last := r.stages[len(r.stages)-1]
		constant := mean * liquid.Strays(last, *law.Prefactor.Value, 1.12e7, 1010)
		if math.Abs(constant-want) > 0.03*want+0.005 {
			off++
		}
	}
	if n != 5 || off < 3 {
		t.Errorf("the canary passes: the mean liquid is off in %d of %d rows", off, n)
	}
	slow := logbook.Stage{FromK: 4, ToK: 24, Hours: 50} // README.md says how wrong the mean is
	want, mean := p.expected([]logbook.Stage{slow}, trueRate)
	if ratio := mean * liquid.Strays(slow, 1.1e4, 1.12e7, 1010) / want; math.Abs(ratio/510-1) > 0.1 {
		t.Errorf("with its mean liquid %+v expects %g times too many", slow, ratio)
	}
}

// TestRampsGiveTheirLaw: 40 cooled runs that were drawn from the shipped laws, with their mean
// liquids; one stray a day comes at 20.8 K in their median of 2829 mm³, and at 20.69 K in the
// whole puck. Canary: the mean liquid taken as if it had been there all the time, which read 21.65
// K, 21.01 to 22.18 K.
func TestRampsGiveTheirLaw(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("testdata", "fit", "ramps.csv"))
	if err != nil {
		t.Fatal(err)
	}
	var got, mean strayLaw
	fitted(t, &got, string(text), "nuclei", "--body", writePuck(t, 0.4))
	law := got.Places[0]
	if !law.Daily.holds(20.8) || !law.Daily.holds(dailyK(law.Size)) {
		t.Errorf("one a day at %g K, %g to %g", *law.Daily.Value, *law.Daily.Low, *law.Daily.High)
	}
	if !law.Barrier.holds(1.12e7) || !law.Prefactor.holds(1.1e4) {
		t.Errorf("barrier %g to %g", *law.Barrier.Low, *law.Barrier.High)
	}
	constant := strings.Replace(string(text), "strays\n", "strays,seed_mm\n", 1)
	lines := strings.Split(strings.TrimSpace(constant), "\n")
	for i := range lines {
		if strings.HasPrefix(lines[i], "R") {
			lines[i] += ",0"
		}
	}
	fitted(t, &mean, strings.Join(lines, "\n"), "nuclei", "--base", "Y123, air")
	if mean.Places[0].Daily.holds(dailyK(mean.Places[0].Size)) {
		t.Error("the canary passes: with the mean liquid the interval holds the truth, too")
	}
}

// furnaceBook are twenty cooled runs of a puck, in every fourth of which the first stray was waited
// for instead of a count.
func furnaceBook(r *rand.Rand, p puck, b logbook.Body) (weighed, constant []logbook.Strays) {
	for i := range 20 {
		s := logbook.Stage{FromK: 5 + float64(i*7%8), ToK: 22 + float64(i%5), Hours: 18 + 2.5*float64(i*11%16)}
		first := i%4 == 3
		all, mean := p.expected([]logbook.Stage{s}, trueRate)
		one, hours := logbook.Strays{Place: "melt", Stage: s, Size: b.Whole("melt")}, s.Hours
		if wanted := r.ExpFloat64(); first && wanted < all {
			sum, at := 0.0, 0.0
			p.walked([]logbook.Stage{s}, func(u, liquid, h float64) {
				if sum < wanted {
					at += h
				}
				sum += trueRate(u) * liquid * h
			})
			one.Seen, hours = logbook.FirstStray, at
			one.Stage = logbook.Stage{FromK: s.FromK, ToK: s.FromK + at/s.Hours*(s.ToK-s.FromK), Hours: at}
		} else if !first {
			one.Count = int(distuv.Poisson{Lambda: all, Src: r}.Rand())
		}
		one.Liquid, _ = b.Liquid("melt", []logbook.Stage{s}, hours, 0)
		weighed = append(weighed, one)
		one.Liquid, one.Size = nil, mean
		constant = append(constant, one)
	}
	return weighed, constant
}

// TestCoverageOfCooledBooks: the liquid comes from the engine, the strays from the little
// simulation. Of 95 % intervals 88 or more in 100 hold the truth: the share scatters by 2.2 % over
// 100 books, three of which are allowed. Canary: the mean liquid of each row.
func TestCoverageOfCooledBooks(t *testing.T) {
	const books = 100
	study, err := loadCase(writePuck(t, 0.4), 1)
	if err != nil {
		t.Fatal(err)
	}
	on, peritecticC, _, err := again.Still(study)
	if err != nil {
		t.Fatal(err)
	}
	b, err := liquid.New("the puck", on, peritecticC)
	if err != nil {
		t.Fatal(err)
	}
	law := fit.Barrier{PeritecticK: 1283.15, Expected: func(s logbook.Stage, prefactor, barrierK3 float64) float64 {
		return liquid.Strays(s, prefactor, barrierK3, 1010)
	}}
	p, r := newPuck(), rand.New(rand.NewPCG(5, 6))
	asked, hold := map[string]int{}, map[string]int{}
	for n := range books {
		weighed, constant := furnaceBook(r, p, b)
		for what, rows := range map[string][]logbook.Strays{"": weighed, "canary: ": constant} {
			if what != "" && n%4 > 0 {
				continue
			}
			f, err := fit.Nuclei(rows, law, math.NaN())
			if err != nil {
				t.Fatal(err)
			}
			for of, e := range map[string]struct {
				fit.Estimate
				truth float64
			}{"one a day": {f.Daily, dailyK(f.Size)}, "barrier": {f.Barrier, 1.12e7}} {
				asked[what+of]++
				if !(e.truth < float64(e.Low) || e.truth > float64(e.High)) { // an open end holds all beyond
					hold[what+of]++
				}
			}
		}
	}
	for what, n := range asked {
		share := float64(hold[what]) / float64(n)
		t.Logf("%s: %.3g of %d", what, share, n)
		if share >= 0.88 == strings.HasPrefix(what, "canary") {
			t.Errorf("%s: %d of %d intervals hold the truth", what, hold[what], n)
		}
	}
}
