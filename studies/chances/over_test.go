package chances

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"onegrain/sim"
	"onegrain/sim/measure"
	"onegrain/studies"
	"onegrain/studies/draws"
)

// decode reads a file of laws that says how many there are: half with strays as a rate.
func decode(_ string, data []byte) (*draws.File, error) {
	var n int
	if _, err := fmt.Sscan(string(data), &n); err != nil {
		return nil, err
	}
	f := &draws.File{Furnaces: []string{"north"}, PeritecticC: 1010, LowestK: 8, HighestK: 24}
	for i := range n {
		x := float64(i) / float64(n)
		law := draws.Law{Family: draws.Barrier, RateA: 0.11 + 0.05*x, ExponentA: 1.7 + 0.4*x, RateC: 0.2, ExponentC: 1.3,
			PrefactorPerMM3H: 1.1e4, BarrierK3: 5.5e6 + 2e6*x, ScatterK: 0.3, OffsetK: []float64{0}}
		if i%2 == 1 {
			law.Family, law.DensityPerMM3, law.MeanK, law.SpreadK = draws.Sites, 0.5, 20+4*x, 2
		}
		f.Laws = append(f.Laws, law)
	}
	return f, nil
}

// planned is the first case of the small study with so many laws of a file and some changes, and
// that case for the engine.
func planned(t testing.TB, laws int, changes ...string) (studies.Planned, *sim.Case) {
	t.Helper()
	text, err := os.ReadFile("../testdata/small.toml")
	if err != nil {
		t.Fatal(err)
	}
	own := strings.NewReplacer("base = \"Y123, air\"", "laws = \"melt.laws\"", "plane = \"ab\"", "plane = \"ab\"\n"+
		"thickness_mm = 1", "[nucleation.melt]\nlaw = \"barrier\"\nprefactor_per_mm2_h = 1.1e4\nbarrier_K3 = 6e6\n", "",
		"values = [6, 12]", "values = [11]", "values = [0.3, 0.5, 1]", "values = [0.5]").Replace(string(text))
	s, err := studies.Load("small.toml", []byte(strings.NewReplacer(changes...).Replace(own)),
		func(string) ([]byte, error) { return []byte(fmt.Sprint(laws)), nil }, 0, decode)
	if err != nil {
		t.Fatal(err)
	}
	p, err := s.Plan(0)
	if err != nil {
		t.Fatal(err)
	}
	c, err := p.Case()
	if err != nil {
		t.Fatal(err)
	}
	return p, c
}

// TestOverLawsAsByRuns: what the table makes of each draw is what the engine makes of it: one
// grain, full by the end of the programme. The mean, the range of 90 of 100 and the families follow from
// the runs alone. Canary: without the scatter from run to run a draw is another one.
func TestOverLawsAsByRuns(t *testing.T) {
	const n = 40
	p, c := planned(t, n)
	o := (&Maker{}).Over(p, c)
	var chances, full []float64
	family := map[string]float64{}
	tabled, _ := (&Maker{}).byTable(p, c, n)
	off, canary := 0.0, 0.0
	for i := range n {
		on := p.Drawn(c, i)
		s := measure.Look(sim.Seeded(on, p.Key(1)), p.JoinDeg)
		x := s.Odds().Probability
		chances, full = append(chances, x), append(full, s.FullH())
		off = math.Max(off, math.Abs(tabled[i].chance-x))
		family[p.Study.Melt().Laws[i].Family] += x / (n / 2)
		on.Programme = c.Programme
		canary = math.Max(canary, math.Abs(measure.Look(sim.Seeded(on, p.Key(1)), p.JoinDeg).Odds().Probability-x))
	}
	mean := 0.0
	for _, x := range chances {
		mean += x / n
	}
	between, variance := 0.0, 0.0
	for _, x := range chances {
		variance += (x - mean) * (x - mean)
	}
	for _, x := range family {
		between += n / 2 * (x - mean) * (x - mean)
	}
	slices.Sort(chances)
	slices.Sort(full)
	if off > 1e-3 {
		t.Errorf("the chance of a draw is off by %v", off)
	}
	if o.Laws != n || o.LawsBy != ByTable || canary < 0.01 || mean < 0.1 || mean > 0.9 {
		t.Errorf("%+v, mean %v, canary %v", o, mean, canary)
	}
	for _, one := range []struct{ got, want, within float64 }{
		{o.SingleGrainChance, mean, 1e-3}, {o.SingleGrainChanceLow, chances[2], 1e-3},
		{o.SingleGrainChanceHigh, chances[37], 1e-3}, {o.FamilyShare, between / variance, 1e-2},
		{o.SingleGrainChanceWorse, math.Min(family[draws.Barrier], family[draws.Sites]), 1e-3},
		{o.TimeToFullHLow, full[2], 0.05}, {o.TimeToFullHHigh, full[37], 0.05},
	} {
		if !(math.Abs(one.got-one.want) <= one.within) {
			t.Errorf("%v, by runs %v: %+v", one.got, one.want, o)
		}
	}
}

// TestWhereNoTableIs: under a gradient and round a hole 30 laws are run, in which each family has
// its share; a study with laws of its own has no chance over laws.
func TestWhereNoTableIs(t *testing.T) {
	for why, change := range map[string][]string{
		"gradient": {"[schedule]\n", "[gradient]\nradial_K_per_mm = 0.05\n[schedule]\n"},
		"something to grow round": {"shape = \"disc\"", "shape = \"ring\"\ninner_diameter_mm = 3\nouter_diameter_mm = 10",
			"diameter_mm = 10\ncell", "cell", "size_mm = [2, 2]", "size_mm = [1, 1]\nat_mm = [3, 0]"},
	} {
		p, c := planned(t, 200, change...)
		o := (&Maker{}).Over(p, c)
		if o.Laws != fewRuns || o.LawsBy != why || !(o.SingleGrainChance > 0) {
			t.Errorf("%s: %+v", why, o)
		}
	}
	p, c := planned(t, 200)
	few := p.Study.Melt().Few(fewRuns)
	barrier, mean := 0, 0.0
	for _, i := range few {
		if p.Study.Melt().Laws[i].Family == draws.Barrier {
			barrier++
		}
	}
	for _, one := range byRuns(p, c, few) {
		mean += one.chance / fewRuns
	}
	if o := (&Maker{}).Over(p, c); barrier != fewRuns/2 || math.Abs(mean-o.SingleGrainChance) > 0.15 {
		t.Errorf("%d of %d with strays as a rate; mean %v, over all laws %v", barrier, fewRuns, mean, o.SingleGrainChance)
	}
	if got := p.Study.Melt().Few(1000); len(got) != 200 {
		t.Errorf("%d of 200 laws", len(got))
	}
}

// TestScatteredSeeds: placings of a seed that scatters take turns among the laws.
func TestScatteredSeeds(t *testing.T) {
	p, c := planned(t, 64, "size_mm = [2, 2]", "size_mm = [2, 2]\nturn_sd_deg = 20")
	o := (&Maker{}).Over(p, c)
	still, on := planned(t, 64)
	if s := (&Maker{}).Over(still, on); o.LawsBy != ByTable || o.SingleGrainChance == s.SingleGrainChance ||
		math.Abs(o.SingleGrainChance-s.SingleGrainChance) > 0.1 {
		t.Errorf("%+v, without scatter %+v", o, s)
	}
}

// TestSums: closed forms of small samples.
func TestSums(t *testing.T) {
	inf := math.Inf(1)
	all := []outcome{{0, 0.9, 20, "barrier"}, {1, 0.7, 30, "barrier"}, {2, 0.2, 25, "sites"}, {3, 0, inf, "sites"}}
	o := over(all)
	if math.Abs(o.SingleGrainChance-0.45) > 1e-12 || math.Abs(o.SingleGrainChanceWorse-0.1) > 1e-12 ||
		o.WorseFamily != "sites" || math.Abs(o.FamilyShare-4*0.35*0.35/0.53) > 1e-9 || o.SingleGrainChanceLow != 0 ||
		o.SingleGrainChanceHigh != 0.9 || o.TimeToFullHLow != 20 || !math.IsNaN(o.TimeToFullHHigh) {
		t.Errorf("%+v", o)
	}
	one := over(all[:2])
	if one.WorseFamily != "" || !math.IsNaN(one.SingleGrainChanceWorse) || !math.IsNaN(one.FamilyShare) {
		t.Errorf("one family: %+v", one)
	}
	var mostly []outcome // a family of less than 5 in 100 is no more than a hint
	for i := range 100 {
		mostly = append(mostly, outcome{i, float64(i) / 100, 20, map[bool]string{true: "sites", false: "barrier"}[i < 4]})
	}
	if o := over(mostly); o.WorseFamily != "" || !(o.FamilyShare > 0) {
		t.Errorf("mostly one family: %+v", o)
	}
}

// TestLawsAreQuick: 2,000 laws of a puck take no more processor time than one run of it; measured
// several times, since others may use the machine.
func TestLawsAreQuick(t *testing.T) {
	p, c := planned(t, 2000, "plane = \"ab\"\nthickness_mm = 1", "height_mm = 8", "diameter_mm = 10", "diameter_mm = 24",
		"cell_mm = 0.25", "cell_mm = 0.2")
	m := &Maker{}
	m.Tables.Of(c, c.Placed(p.Key(1)))
	least := math.Inf(1)
	for range 5 {
		start := time.Now()
		measure.Look(sim.Seeded(c, p.Key(1)), p.JoinDeg).Odds()
		run := time.Since(start)
		start = time.Now()
		m.Over(p, c)
		least = math.Min(least, time.Since(start).Seconds()/run.Seconds())
	}
	t.Logf("2,000 laws take %.2f of a run", least)
	if least > 1.5 { // 0.8 on an idle machine
		t.Errorf("2,000 laws take %.2f of a run, wanted 1 at most", least)
	}
}
