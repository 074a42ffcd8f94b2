package chances

import (
	"maps"
	"math"
	"slices"

	"onegrain/sim"
	"onegrain/sim/liquid"
	"onegrain/sim/measure"
	"onegrain/studies"
)

const (
	fewRuns = 30   // laws that are looked at where each takes a run
	stepK   = 0.75 // of a walk: it leaves 2e-3 of the strays, so less than 1e-3 of a chance
)

// Over is what all laws make of a case. Numbers are NaN where nothing is known.
type Over struct {
	SingleGrainChance, SingleGrainChanceLow, SingleGrainChanceHigh float64 // mean; 90 of 100 laws lie between

	SingleGrainChanceWorse float64 // mean over the laws of the worse family; NaN where there is one
	WorseFamily            string  // its name: draws.Barrier or draws.Sites
	FamilyShare            float64 // of the variance, that is between families; NaN where nothing varies

	TimeToFullHLow, TimeToFullHHigh float64 // between which 90 of 100 laws lie; NaN for never
	Laws                            int     // that were looked at; 0 where the study has its own
	LawsBy                          string  // how: ByTable, or why it took runs
}

// ByTable is how laws are looked at where the liquid of a body is known as a table.
const ByTable = "table"

// Maker works out what all laws make of cases. It may be used from several goroutines.
type Maker struct {
	Tables liquid.Tables // of bodies whose liquid is known
}

// None is the answer where a study has laws of its own.
func None() Over {
	nan := math.NaN()
	return Over{nan, nan, nan, nan, "", nan, nan, nan, 0, ""}
}

// Over looks at a case, converted for its middle law.
func (m *Maker) Over(p studies.Planned, c *sim.Case) Over {
	melt := p.Study.Melt()
	if melt == nil {
		return None()
	}
	all, why := m.byTable(p, c, len(melt.Laws))
	by := ByTable
	if all == nil {
		all, by = byRuns(p, c, melt.Few(fewRuns)), why
	}
	for i := range all {
		all[i].family = melt.Laws[all[i].law].Family
	}
	o := over(all)
	o.LawsBy = by
	return o
}

// outcome is what a draw makes of the case.
type outcome struct {
	law    int
	chance float64
	fullH  float64 // +Inf for never
	family string
}

// byTable looks at all draws; nil where that cannot be, and why. Placings of seeds that scatter
// take turns.
func (m *Maker) byTable(p studies.Planned, c *sim.Case, n int) (all []outcome, why string) {
	tables := make([]*liquid.Table, 1)
	if c.Scattered() {
		tables = make([]*liquid.Table, p.Study.Placings())
	}
	for k := range tables {
		if tables[k] = m.Tables.Of(c, c.Placed(p.Key(k+1))); tables[k] == nil {
			return nil, reason(c)
		}
	}
	all = make([]outcome, n)
	for i := range all {
		on := p.Drawn(c, i)
		laws := liquid.Laws{GrowthA: on.GrowthA, GrowthC: on.GrowthC, Nuclei: on.Nuclei}
		course := tables[i%len(tables)].Course(on.Programme, laws, stepK)
		all[i] = outcome{law: i, chance: course.Chance(), fullH: course.FullH}
	}
	return all, ""
}

// reason says why the liquid of a case is known as no table.
func reason(c *sim.Case) string {
	switch {
	case len(c.Seeds) == 0:
		return "no seed"
	case !c.Uniform():
		return "gradient"
	case c.Grid.Periodic:
		return "periodic body"
	case len(c.Seeds) > 1:
		return "seeds turned against each other, or something to grow round"
	}
	return "something to grow round"
}

// byRuns grows some draws without strays, each with a placing of its own where seeds scatter.
func byRuns(p studies.Planned, c *sim.Case, few []int) (all []outcome) {
	key := p.Key(1)
	for k, law := range few {
		if c.Scattered() {
			key = p.Key(k + 1)
		}
		s := measure.Look(sim.Seeded(p.Drawn(c, law), key), p.JoinDeg)
		full := s.FullH()
		if math.IsNaN(full) {
			full = math.Inf(1)
		}
		all = append(all, outcome{law: law, chance: s.Odds().Probability, fullH: full})
	}
	return all
}

// over sums up draws, each as likely as the other, in their order.
func over(all []outcome) Over {
	o, families := None(), map[string][]float64{}
	var chances, full []float64
	for _, one := range all {
		chances, full = append(chances, one.chance), append(full, one.fullH)
		families[one.family] = append(families[one.family], one.chance)
	}
	o.Laws, o.SingleGrainChance = len(all), mean(chances)
	between, large := 0.0, 0 // of families that are more than a hint
	for _, family := range slices.Sorted(maps.Keys(families)) {
		m := mean(families[family])
		between += float64(float64(len(families[family])) * squared(m-o.SingleGrainChance))
		if 20*len(families[family]) < len(all) {
			continue
		}
		if large++; !(m >= o.SingleGrainChanceWorse) {
			o.SingleGrainChanceWorse, o.WorseFamily = m, family
		}
	}
	if large < 2 {
		o.SingleGrainChanceWorse, o.WorseFamily = math.NaN(), ""
	}
	variance := 0.0
	for _, x := range chances {
		variance += squared(x - o.SingleGrainChance)
	}
	if variance > 0 && len(families) > 1 {
		o.FamilyShare = between / variance
	}
	o.SingleGrainChanceLow, o.SingleGrainChanceHigh = within90(chances)
	o.TimeToFullHLow, o.TimeToFullHHigh = within90(full)
	return o
}

func mean(values []float64) float64 {
	sum := 0.0
	for _, x := range values {
		sum += x
	}
	return sum / float64(len(values))
}

func squared(x float64) float64 { return float64(x * x) }

// within90 are two of the values between which 90 of 100 lie; NaN where that is +Inf.
func within90(values []float64) (low, high float64) {
	sorted := slices.Sorted(slices.Values(values))
	at := func(share float64) float64 {
		x := sorted[int(math.Round(share*float64(len(sorted)-1)))]
		if math.IsInf(x, 1) {
			return math.NaN()
		}
		return x
	}
	return at(0.05), at(0.95)
}
