package belief

import (
	"math"

	"github.com/sourcegraph/conc/iter"

	"onegrain/analysis/belief/facts"
	"onegrain/analysis/belief/likelihood"
	"onegrain/sim/number"
	"onegrain/studies/draws"
)

// holds are the hours of two holds that may tell the families apart, levels at how many
// undercoolings they are tried, and apartLaws how many laws say what is seen.
func holds() []float64 { return []float64{1, 2, 5, 10, 25} }

const (
	levels    = 9
	apartLaws = 200
	leastBits = 0.02 // below it nothing is told
)

// apart is the pair of holds, made in two runs, whose strays say most of which family it is. A rate
// gives more strays the longer it is held; sites give all at once.
func (s *study) apart(p *Posterior) *Pair {
	if len(s.Families) < 2 || p.Families[0].Share < 0.01 || p.Families[0].Share > 0.99 {
		return nil
	}
	middle := 0.0
	for _, q := range p.Quantities {
		if q.Key == dailyK {
			middle = q.Middle
		}
	}
	var best *Pair
	for i := range levels {
		u := math.Round(middle) + float64(i-levels/2)
		if u > 0 && u <= math.Max(p.HighestK, middle) {
			best = s.pair(u, p, best)
		}
	}
	if best == nil || best.Bits < leastBits {
		return nil
	}
	return best
}

// pair is the best pair at an undercooling, or an earlier one that is better.
func (s *study) pair(u float64, p *Posterior, best *Pair) *Pair {
	run := facts.Run{}
	for _, h := range holds() {
		run.Programme = facts.Hold(u, h)
		run.Saw = append(run.Saw, facts.Fact{ToH: h, Most: facts.Any})
	}
	if s.body.Table == nil {
		run.LiquidMM3 = s.runs[0].LiquidMM3
	}
	r := likelihood.New(&run, s.body.Table)
	laws := p.Laws[:min(apartLaws, len(p.Laws))]
	m := iter.Mapper[draws.Law, [][]float64]{MaxGoroutines: s.Workers}
	ahead := m.Map(laws, func(l *draws.Law) [][]float64 { return r.Ahead(l, l.Laws(s.body.PeritecticC)) })
	for short := range holds() {
		for long := short + 1; long < len(holds()); long++ {
			bits := told(laws, ahead, short, long)
			if best == nil || bits > best.Bits {
				best = &Pair{u, holds()[short], holds()[long], bits}
			}
		}
	}
	return best
}

// told is how many bits the strays of two runs tell of the family of a law.
func told(laws []draws.Law, ahead [][][]float64, short, long int) (bits float64) {
	var both [2][likelihood.Numbers * likelihood.Numbers]float64
	for i, l := range laws {
		family := 0
		if l.Family == draws.Sites {
			family = 1
		}
		for n, x := range ahead[i][short] {
			for m, y := range ahead[i][long] {
				both[family][n*likelihood.Numbers+m] += float64(x*y) / float64(len(laws))
			}
		}
	}
	var share [2]float64
	for f := range both {
		for _, x := range both[f] {
			share[f] += x
		}
	}
	for f := range both {
		for n, x := range both[f] {
			if all := both[0][n] + both[1][n]; x > 0 {
				bits += float64(x*number.Log(x/float64(all*share[f]))) / math.Ln2
			}
		}
	}
	return bits
}
