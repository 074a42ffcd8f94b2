package shelf

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"github.com/sourcegraph/conc/iter"
	"gonum.org/v1/gonum/stat/distuv"
)

// Candidate is a furnace run that could be made next.
type Candidate struct {
	Text   string
	TakesH float64 // of the furnace
	// undercooling that it goes to, K: a programme may go as deep afterwards
	DeepestK float64
	// Look says what a law expects of it: strays, and how far the a faces grow (mm), 0 without a seed.
	Look func(law int, by Shift) (strays, grownMM float64)
}

// Worth is what a run is worth.
type Worth struct {
	Text      string  `json:"run"`
	TakesH    float64 `json:"takes_h"`
	Bits      float64 `json:"bits"`             // that its outcome tells of the laws
	EndH      float64 `json:"programme_h_then"` // of the best programme, in the mean over outcomes
	PaysFrom  int     `json:"pays_from_pieces"` // from which it saves more hours than it takes; 0 for never
	SomeStray float64 `json:"chance_of_a_stray"`
}

// Next is what comes of knowing more.
type Next struct {
	Now   float64   `json:"programme_h"`                        // of the best programme
	Known float64   `json:"programme_h_if_the_laws_were_known"` // in the mean over the laws
	Best  Programme `json:"best"`
	Runs  []Worth   `json:"runs"`        // best first
	Stop  bool      `json:"stop_trying"` // no run pays for so many pieces
}

// What a look ahead is made with.
const (
	nextLaws = 400
	outcomes = 60
	mostSeen = 25 // strays: more are not counted apart
)

// seen is how a candidate looks by a law in one of the scatters.
type seen struct{ strays, lnMM float64 }

// Next ranks candidates by the hours they save over some pieces. sigma is the scatter of the
// logarithm of lengths by a law. The numbers it draws follow from the seed alone.
func (t *Task) Next(candidates []Candidate, pieces int, sigma func(law int) float64, seed uint64) (*Next, error) {
	all := make([]int, len(t.Laws))
	for i := range all {
		all[i] = i
	}
	s := t.shelf(some(all, nextLaws))
	p, now := s.best(t.Chance)
	if now >= hopeless {
		return nil, errNone
	}
	n := &Next{Now: now, Known: s.known(t.Chance), Best: p}
	then := map[float64]*shelf{t.DeepestK: s} // by the deepest undercooling
	for _, c := range candidates {
		if _, made := then[c.DeepestK]; c.DeepestK > t.DeepestK && !made {
			deeper := *t
			deeper.DeepestK = c.DeepestK
			then[c.DeepestK] = deeper.shelf(s.laws)
		}
	}
	orders := map[*shelf][][]int{}
	for _, of := range then { // in any order: each by itself
		orders[of] = of.orders()
	}
	n.Runs = iter.Map(candidates, func(c *Candidate) Worth {
		of := then[math.Max(c.DeepestK, t.DeepestK)]
		dice := rand.New(rand.NewPCG(seed, 1)) // the same for all: what differs are the runs
		return of.worth(c, orders[of], sigma, now, dice)
	})
	slices.SortStableFunc(n.Runs, func(a, b Worth) int {
		saves := func(w Worth) float64 { return float64(pieces)*(now-w.EndH) - w.TakesH }
		return cmp.Compare(saves(b), saves(a))
	})
	n.Stop = len(n.Runs) == 0 || n.Runs[0].PaysFrom == 0 || n.Runs[0].PaysFrom > pieces
	return n, nil
}

// orders are the laws of each programme of a shelf by when the body is full.
func (s *shelf) orders() (all [][]int) {
	for _, fates := range s.fates {
		order := make([]int, len(fates))
		for i := range order {
			order[i] = i
		}
		slices.SortStableFunc(order, func(i, k int) int { return cmp.Compare(fates[i].fullH, fates[k].fullH) })
		all = append(all, order)
	}
	return all
}

// weighed is when the best programme ends where laws have weights that sum to 1.
func (s *shelf) weighed(weight []float64, orders [][]int) (endH float64) {
	endH = hopeless
	for i, fates := range s.fates {
		have := 0.0
		for _, law := range orders[i] {
			f := fates[law]
			if f.fullH >= endH {
				break
			}
			if have += weight[law] * f.chance; have >= s.Chance {
				endH = f.fullH
				break
			}
		}
	}
	return endH
}

// worth looks at outcomes of a candidate, each drawn from one of the laws.
func (s *shelf) worth(c *Candidate, orders [][]int, sigma func(law int) float64, now float64, dice *rand.Rand) Worth {
	z := scatters()
	looks := make([][]seen, len(s.laws))
	w := Worth{Text: c.Text, TakesH: c.TakesH}
	for i, law := range s.laws {
		for _, run := range z {
			strays, mm := c.Look(law, Shift{RunSD: run})
			looks[i] = append(looks[i], seen{strays, math.Log(mm)})
			w.SomeStray += (1 - math.Exp(-strays)) / float64(len(s.laws)*len(z))
		}
	}
	weight := make([]float64, len(s.laws))
	for range outcomes {
		truth := dice.IntN(len(s.laws))
		look := looks[truth][dice.IntN(len(z))]
		count := math.Min(mostSeen, distuv.Poisson{Lambda: math.Max(look.strays, 1e-12), Src: dice}.Rand())
		lnMM := look.lnMM + sigma(s.laws[truth])*dice.NormFloat64()
		sum := 0.0
		for i := range weight {
			weight[i] = likelihood(looks[i], count, lnMM, sigma(s.laws[i]))
			sum += weight[i]
		}
		w.Bits += math.Log2(weight[truth]/(sum/float64(len(weight)))) / outcomes
		for i := range weight {
			weight[i] /= sum
		}
		w.EndH += math.Min(s.weighed(weight, orders), 10*now) / outcomes
	}
	if saved := now - w.EndH; saved > 0.001*now {
		w.PaysFrom = int(math.Ceil(w.TakesH / saved))
	}
	return w
}

// likelihood of an outcome by a law, in the mean over the scatter of the run.
func likelihood(looks []seen, count, lnMM, sigma float64) (p float64) {
	for _, s := range looks {
		law := distuv.Poisson{Lambda: math.Max(s.strays, 1e-12)}
		x := law.Prob(count)
		if count == mostSeen {
			x = law.Survival(count - 1)
		}
		if !math.IsInf(lnMM, 0) {
			x *= distuv.Normal{Mu: s.lnMM, Sigma: math.Max(sigma, 1e-3)}.Prob(lnMM)
		}
		p += x / float64(len(looks))
	}
	return math.Max(p, 1e-300)
}

// Held names a run held at an undercooling.
func Held(body string, u, hours float64) string {
	return fmt.Sprintf("%s held %g h at %g K", body, hours, u)
}

// Cooled names a run cooled from one undercooling to another.
func Cooled(body string, u, v, hours float64) string {
	return fmt.Sprintf("%s cooled from %g to %g K in %g h", body, u, v, hours)
}
