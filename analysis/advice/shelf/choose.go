package shelf

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"github.com/sourcegraph/conc/iter"
	"gonum.org/v1/gonum/optimize"

	"onegrain/analysis/advice"
)

// fate is what becomes of a programme by one law.
type fate struct {
	chance float64 // of no stray until the body is full, or the programme ends
	fullH  float64 // +Inf for never
}

// fates follows a programme by some laws.
func (t *Task) fates(points []advice.Point, laws []int, by Shift) []fate {
	return iter.Map(laws, func(law *int) fate {
		o := t.Follow(points, *law, by)
		f := fate{math.Exp(-o.ExpectedStrays), o.FullH}
		if t.ToleranceK > 0 {
			deep := by
			deep.OtherK += t.ToleranceK
			f.chance = math.Exp(-t.Follow(points, *law, deep).ExpectedStrays)
		}
		return f
	})
}

// end is the earliest hour at which a programme has the wanted chance by some laws; beyond hopeless
// where it never has, the further the less chance there is.
func (t *Task) end(fates []fate, laws []int, wanted float64) float64 {
	order := make([]int, len(fates))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, k int) int { return cmp.Compare(fates[i].fullH, fates[k].fullH) })
	of := t.families(laws)
	have := map[string]float64{} // summed up by family, "" for all
	enough := func() bool {
		if t.Sure == 0 {
			return have[""] >= wanted*float64(len(laws))
		}
		for name, n := range of {
			if have[name] < t.Sure*n {
				return false
			}
		}
		return true
	}
	for _, i := range order {
		f := fates[i]
		if math.IsInf(f.fullH, 1) {
			break
		}
		x := f.chance
		if t.Sure > 0 {
			if x = 0; f.chance >= wanted {
				x = 1
			}
		}
		have[""] += x
		have[t.Laws[laws[i]]] += x
		if enough() {
			return f.fullH
		}
	}
	return hopeless * (2 - have[""]/float64(len(laws)))
}

const hopeless = 1e6 // h

// families counts laws, "" for all; those of less than 5 in 100 do not count.
func (t *Task) families(laws []int) map[string]float64 {
	of := map[string]float64{"": float64(len(laws))}
	for _, law := range laws {
		of[t.Laws[law]]++
	}
	for name, n := range of {
		if 20*n < float64(len(laws)) {
			delete(of, name)
		}
	}
	return of
}

// halves are the laws to choose by, and those to judge by.
func (t *Task) halves() (choose, judge []int) {
	for i := range t.Laws {
		if i%2 == 0 {
			choose = append(choose, i)
		} else {
			judge = append(judge, i)
		}
	}
	return choose, judge
}

// some are so many laws out of a list, evenly.
func some(laws []int, n int) (few []int) {
	n = min(n, len(laws))
	for i := range n {
		few = append(few, laws[i*len(laws)/n])
	}
	return few
}

// Choice is a programme and what the laws say of it that it was not chosen by.
type Choice struct {
	Programme
	Points     []advice.Point // to its end
	EndH       float64
	Chance     float64            // of no stray and full by the end, in the mean
	Low, High  float64            // 90 of 100 laws lie between
	Families   map[string]float64 // the mean by family
	KnownH     float64            // when it would end if the law were known, in the mean
	Considered []Considered       // the shelf
	judge      []int
}

// Considered is a programme of the shelf: hours and chance at the end of the chosen one.
type Considered struct {
	Programme
	FullH  float64 `json:"full_h"`
	Chance float64 `json:"chance"`
	Low    float64 `json:"chance_low"`
	High   float64 `json:"chance_high"`
}

// errNone is what is said where no programme has the chance.
var errNone = errors.New("no programme was found that has the wanted chance by these laws: ask for less, or make a " +
	"run that says more (onegrain next)")

// mostRounds of asking for more where the judging half finds less than was wanted.
const mostRounds = 6

// Choose finds the quickest programme.
func (t *Task) Choose() (*Choice, error) {
	choose, judge := t.halves()
	s := t.shelf(some(choose, shelfLaws))
	wanted := t.Chance
	var last *Choice
	for range mostRounds {
		p, end := s.best(wanted)
		if end >= hopeless {
			break
		}
		p = t.rounded(t.improved(p, choose, wanted))
		end = t.end(t.fates(t.points(p, math.Inf(1)), choose, Own()), choose, wanted)
		if end >= hopeless {
			wanted += (1 - wanted) / 4
			continue
		}
		down := p.StartK / t.FirstKPerH
		last = t.judged(p, down+math.Ceil(10*(end-down))/10, judge)
		if t.holds(last) {
			last.KnownH, last.Considered = s.known(t.Chance), s.considered(last.EndH)
			return last, nil
		}
		wanted = math.Min(wanted+math.Max(t.Chance-last.Chance, 0.1*(1-t.Chance)), wanted+(1-wanted)/2)
	}
	return nil, errNone
}

// holds tells whether the judging half finds what was wanted.
func (t *Task) holds(c *Choice) bool {
	if t.Sure == 0 {
		return c.Chance >= t.Chance
	}
	fates := t.fates(c.Points, c.judge, Own())
	return t.end(fates, c.judge, t.Chance) < hopeless
}

// judged is what some laws say of a programme that ends at an hour.
func (t *Task) judged(p Programme, endH float64, laws []int) *Choice {
	c := &Choice{Programme: p, EndH: endH, Points: t.points(p, endH), judge: laws, Families: map[string]float64{}}
	var all []float64
	count := map[string]float64{}
	for i, f := range t.fates(c.Points, laws, Own()) {
		x := f.chance
		if math.IsInf(f.fullH, 1) {
			x = 0
		}
		all = append(all, x)
		c.Families[t.Laws[laws[i]]] += x
		count[t.Laws[laws[i]]]++
	}
	for name, n := range count {
		c.Families[name] /= n
	}
	c.Chance, c.Low, c.High = spread(all)
	return c
}

// spread is the mean of some numbers, and two between which 90 of 100 lie.
func spread(all []float64) (mean, low, high float64) {
	sorted := slices.Sorted(slices.Values(all))
	for _, x := range sorted {
		mean += x / float64(len(sorted))
	}
	at := func(share float64) float64 { return sorted[int(math.Round(share*float64(len(sorted)-1)))] }
	return mean, at(0.05), at(0.95)
}

// rounded is a programme in steps of the controller, none of it deeper or quicker.
func (t *Task) rounded(p Programme) Programme {
	down := func(x, step float64) float64 { return math.Floor(x/step+1e-6) * step }
	p.StartK = math.Max(t.StepK, down(p.StartK, t.StepK))
	p.RateKPerH = down(p.RateKPerH, t.StepKPerH)
	return p
}

// improved looks for a quicker programme near one: the simplex method of Nelder and Mead (gonum)
// over start and root of the rate.
func (t *Task) improved(p Programme, laws []int, wanted float64) Programme {
	read := func(x []float64) Programme {
		return Programme{math.Max(0.1, math.Min(x[0], t.DeepestK)), math.Min(x[1]*x[1], t.FirstKPerH)}
	}
	problem := optimize.Problem{Func: func(x []float64) float64 {
		if p := read(x); x[0] > t.DeepestK || p.StartK != x[0] {
			return 3 * hopeless
		}
		return t.end(t.fates(t.points(read(x), math.Inf(1)), laws, Own()), laws, wanted)
	}}
	settings := &optimize.Settings{FuncEvaluations: 60,
		Converger: &optimize.FunctionConverge{Relative: 1e-3, Iterations: 12}}
	x := []float64{p.StartK, math.Sqrt(math.Max(p.RateKPerH, 0.003))}
	found, err := optimize.Minimize(problem, x, settings, &optimize.NelderMead{SimplexSize: 0.15})
	if found == nil || err != nil && !(found.F < hopeless) {
		return p
	}
	return read(found.X)
}
