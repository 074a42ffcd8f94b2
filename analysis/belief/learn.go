package belief

import (
	"cmp"
	"fmt"
	"math"
	"runtime"
	"slices"
	"strings"

	"onegrain/analysis/belief/facts"
	"onegrain/analysis/belief/likelihood"
	"onegrain/analysis/belief/sample"
	"onegrain/sim/draw"
	"onegrain/sim/number"
	"onegrain/studies/draws"
)

// How laws are learnt.
const (
	pointCount = 3000 // stand for a family
	mixed      = 1.01 // split R̂ below which chains do
)

// study is what is learnt from.
type study struct {
	Options
	body Body
	runs []*likelihood.Run
}

// learnt is what is known of one family.
type learnt struct {
	*unknowns
	*sample.Points
}

// Learn learns the laws of a melt from runs in a body. An error says which runs contradict each
// other, or which cannot be.
func Learn(runs []facts.Run, body Body, o Options) (*Posterior, error) {
	if o.Priors == nil {
		o.Priors = Priors()
	}
	if o.Families == nil {
		o.Families = []string{draws.Barrier, draws.Sites}
	}
	if o.Draws == 0 {
		o.Draws = 1000
	}
	if o.Workers == 0 {
		o.Workers = runtime.GOMAXPROCS(0)
	}
	s := &study{Options: o, body: body}
	s.Furnaces = max(1, o.Furnaces)
	for i := range runs {
		r := &runs[i]
		if err := s.check(r); err != nil {
			return nil, err
		}
		s.runs = append(s.runs, likelihood.New(r, body.Table))
	}
	all, err := s.families(s.runs, pointCount)
	if err != nil {
		return nil, err
	}
	p := &Posterior{}
	p.add(all)
	p.Laws = s.draw(all, p.Families, s.Draws)
	p.ranges(runs)
	p.Quantities = s.quantities(p.Laws)
	p.Foreseen = s.foreseen(all)
	p.Apart = s.apart(p)
	return p, nil
}

// check refuses a run that cannot be asked.
func (s *study) check(r *facts.Run) error {
	switch {
	case len(r.Programme.Knots) < 2:
		return fmt.Errorf("%s: a programme of %d knots, wanted two or more", r.Name, len(r.Programme.Knots))
	case r.Furnace < 0 || r.Furnace >= s.Furnaces:
		return fmt.Errorf("%s: furnace %d of %d", r.Name, r.Furnace+1, s.Furnaces)
	case r.LiquidMM3 == 0 && s.body.Table == nil:
		return fmt.Errorf("%s: how much was liquid is not known: give the body", r.Name)
	}
	return nil
}

// density is prior times likelihood of a family.
func (s *study) density(u *unknowns, runs []*likelihood.Run) sample.Density {
	return func(z []float64) float64 {
		law, ok := u.law(z)
		if !ok {
			return math.Inf(-1)
		}
		log, laws := logPrior(z), law.Laws(s.body.PeritecticC)
		for _, r := range runs {
			log += r.Log(&law, laws)
		}
		return log
	}
}

// families learns each family from some runs.
func (s *study) families(runs []*likelihood.Run, points int) (all []learnt, err error) {
	for _, family := range s.Families {
		u := newUnknowns(family, s.Priors, s.Furnaces, s.body.PeritecticC)
		f := s.density(u, runs)
		p := sample.Draw(f, s.start(u, runs), points, draw.NewKey("laws", s.Key, family), s.Workers)
		if p.Chain && !(p.Mixed < mixed) {
			return nil, s.contradiction(u, p, runs)
		}
		all = append(all, learnt{u, p})
	}
	return all, nil
}

// looks are how many undercoolings and how many steepnesses a climb may begin at, and how far apart
// these are, in deviations of the prior.
const (
	looksK, stepK         = 34, 0.2
	looksSteep, stepSteep = 3, 1.2
)

// start is the best of some looks over where strays begin and how steeply, with the laws of growth
// that lengths alone tell.
func (s *study) start(u *unknowns, runs []*likelihood.Run) []float64 {
	var grown []*likelihood.Run
	for _, r := range runs {
		only := *r.Run
		only.Saw = slices.DeleteFunc(slices.Clone(r.Saw), func(f facts.Fact) bool {
			return f.Kind == facts.Strays || f.Kind == facts.FirstStray
		})
		grown = append(grown, likelihood.New(&only, s.body.Table))
	}
	middle := sample.Climb(s.density(u, grown), make([]float64, len(u.priors)), s.Workers)
	steep, is := u.at[barrier]
	if !is {
		steep = u.at[risePerK]
	}
	var places [][]float64
	for i := range looksK {
		for j := range looksSteep {
			z := slices.Clone(middle)
			z[u.at[dailyK]] = float64(stepK * (float64(i) - 0.5*(looksK-1)))
			z[steep] = float64(stepSteep * (float64(j) - 0.5*(looksSteep-1)))
			places = append(places, z)
		}
	}
	return sample.Best(s.density(u, runs), places, s.Workers)
}

// contradiction names the runs, two at least, whose facts agree worst with the last of the draws.
func (s *study) contradiction(u *unknowns, p *sample.Points, runs []*likelihood.Run) error {
	law, _ := u.law(p.X[len(p.X)-1])
	laws := law.Laws(s.body.PeritecticC)
	order := slices.Clone(runs)
	logs := map[*likelihood.Run]float64{}
	for _, r := range runs {
		logs[r] = r.Log(&law, laws)
	}
	slices.SortStableFunc(order, func(a, b *likelihood.Run) int { return cmp.Compare(logs[a], logs[b]) })
	var names []string
	for i, r := range order {
		if i < 2 || i < 5 && logs[r] < unlikely {
			names = append(names, r.Name)
		}
	}
	return fmt.Errorf("the draws do not stand for the laws (split R̂ %.2f): %s contradict each other or the rest; "+
		"is what was written of them right?", p.Mixed, strings.Join(names, " and "))
}

// unlikely is the logarithm of a likelihood that hardly comes of a right law: 1 in 10,000.
const unlikely = -9

// add sums the families up.
func (p *Posterior) add(all []learnt) {
	most, sum := math.Inf(-1), 0.0
	for _, l := range all {
		most = math.Max(most, l.LogEvidence)
	}
	for _, l := range all {
		share := number.Exp(l.LogEvidence - most)
		sum += share
		p.Families = append(p.Families, Family{l.family, share, l.LogEvidence, l.ParetoK, l.Effective, l.Chain, l.Mixed})
	}
	worth := 0.0
	p.ParetoK = math.Inf(-1)
	for i := range p.Families {
		f := &p.Families[i]
		f.Share /= sum
		p.ParetoK = math.Max(p.ParetoK, f.ParetoK)
		worth += float64(f.Share*f.Share) / f.Effective
	}
	p.Effective = 1 / worth
}

// draw takes so many laws of both families by their evidence: systematically, from points in the
// order of where strays begin, so that chance adds little; then they are shuffled.
func (s *study) draw(all []learnt, families []Family, count int) []draws.Law {
	dice := draw.NewKey("laws", s.Key).Stream("draws")
	n := float64(count)
	next, sum := dice.Uniform(), 0.0
	var laws []draws.Law
	for i, l := range all {
		order := make([]int, len(l.X))
		for j := range order {
			order[j] = j
		}
		at := l.at[dailyK]
		slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(l.X[a][at], l.X[b][at]) })
		for _, j := range order {
			for sum += float64(n * float64(families[i].Share*l.Weight[j])); next < sum && len(laws) < count; next++ {
				law, _ := l.law(l.X[j])
				laws = append(laws, law)
			}
		}
	}
	for len(laws) < count { // rounding
		laws = append(laws, laws[len(laws)-1])
	}
	for i := len(laws) - 1; i > 0; i-- {
		j := dice.Index(i + 1)
		laws[i], laws[j] = laws[j], laws[i]
	}
	return laws
}
