package belief

import (
	"fmt"
	"slices"

	"github.com/sourcegraph/conc/iter"

	"onegrain/analysis/belief/likelihood"
	"onegrain/analysis/belief/sample"
	"onegrain/sim/draw"
	"onegrain/sim/number"
	"onegrain/studies/draws"
)

// How what was foreseen is found: by so many points of each family, and so many laws of both.
const (
	pastPoints = 400
	pastLaws   = 200
	pastK      = 0.7 // of the weights' tail, beyond which points are made anew
	pastWorth  = 50
)

// past is a family as it was known before some run: points for the runs before another, and what
// the logarithms of their weights have become since.
type past struct {
	learnt
	base float64 // logarithm of the evidence of the points' own runs
	log  []float64
}

// foreseen goes backwards: each run is taken out of what was learnt by weighing the points anew;
// where that leaves too few of them, points are made anew (P.-C. Bürkner et al., J. Stat. Comput.
// Simul. 90 (2020) 2499, who go forwards).
func (s *study) foreseen(all []learnt) (seen []Foreseen) {
	var families []*past
	for _, l := range all {
		f := &past{learnt: l.few(pastPoints)}
		f.begin()
		families = append(families, f)
	}
	byRun := make([][]Foreseen, len(s.runs))
	for i := len(s.runs) - 1; i >= 0; i-- {
		for _, f := range families {
			s.without(f, i)
		}
		byRun[i] = s.look(families, s.runs[i])
	}
	for _, f := range byRun {
		seen = append(seen, f...)
	}
	return seen
}

// few are some of the points, all of one weight.
func (l *learnt) few(n int) learnt {
	p := *l.Points
	p.X, p.Weight = nil, nil
	sum, next := 0.0, 0.5
	for i, w := range l.Weight {
		for sum += float64(w * float64(n)); next < sum; next++ {
			p.X, p.Weight = append(p.X, l.X[i]), append(p.Weight, 1/float64(n))
		}
	}
	return learnt{l.unknowns, &p}
}

// begin takes the points with the weights that they have.
func (f *past) begin() {
	f.base, f.log = f.LogEvidence, make([]float64, len(f.X))
	for i, w := range f.Weight {
		f.log[i] = number.Log(w)
	}
}

// without takes run i, the last of those that a family knows, out of it.
func (s *study) without(f *past, i int) {
	m := iter.Iterator[[]float64]{MaxGoroutines: s.Workers}
	m.ForEachIdx(f.X, func(j int, x *[]float64) {
		if law, ok := f.law(*x); ok {
			f.log[j] -= s.runs[i].Log(&law, law.Laws(s.body.PeritecticC))
		}
	})
	p := &sample.Points{X: f.X}
	p.Take(slices.Clone(f.log))
	f.Weight, f.LogEvidence = p.Weight, f.base+p.LogEvidence+number.Log(float64(len(f.X)))
	if p.ParetoK > pastK || p.Effective < pastWorth {
		key := draw.NewKey("laws before", s.Key, f.family, fmt.Sprint(i))
		f.Points = sample.Redraw(s.density(f.unknowns, s.runs[:i]), p, pastPoints, key, s.Workers)
		f.begin()
	}
}

// look is how the facts of a run were foreseen by what families know.
func (s *study) look(families []*past, r *likelihood.Run) []Foreseen {
	all := make([]learnt, len(families))
	for i, f := range families {
		all[i] = f.learnt
	}
	p := &Posterior{}
	p.add(all)
	laws := s.draw(all, p.Families, pastLaws)
	m := iter.Mapper[draws.Law, [][]float64]{MaxGoroutines: s.Workers}
	chances := make([][]float64, len(r.Saw))
	for _, ahead := range m.Map(laws, func(l *draws.Law) [][]float64 { return r.Ahead(l, l.Laws(s.body.PeritecticC)) }) {
		for i, a := range ahead {
			if chances[i] == nil {
				chances[i] = make([]float64, len(a))
			}
			for n, x := range a {
				chances[i][n] += x / pastLaws
			}
		}
	}
	seen := make([]Foreseen, len(chances))
	for i, c := range chances {
		seen[i] = Foreseen{r.Name, r.Saw[i].Line, r.Foreseen(i, c)}
	}
	return seen
}
