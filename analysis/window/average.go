package window

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"onegrain/analysis/tally"
)

const sampledNote = "no two points of a sampled design have the same values of the axes that are set: the range of " +
	"each of these axes is cut into %s, and a chance is the mean over the points of a part, in which the set values " +
	"vary a little too"

const unevenNote = "settings were tried with different values of what is not known, so their averages cannot be " +
	"compared fairly: take design.kind = \"grid\""

// Averaged is the study over its set axes alone: cases that share what is set become one, in which
// every value of what is not known counts the same. Where a design spreads its points like sand, no
// two share what is set; there the explored range is cut into parts. A study without unknown axes
// stays as it is.
func (s Study) Averaged() Study {
	out := s
	out.Axes, out.Over, out.Notes = nil, nil, slices.Clone(s.Notes)
	var set, free []int
	for i, a := range s.Axes {
		if a.Unknown {
			free, out.Over = append(free, i), append(out.Over, a.Label)
			continue
		}
		set, out.Axes = append(set, i), append(out.Axes, a)
	}
	if len(free) == 0 {
		return s
	}
	cases := make([]Case, len(s.Cases))
	for c, one := range s.Cases {
		cases[c] = Case{At: pick(one.At, set), CellMM: one.CellMM, Over: []Case{one}}
	}
	if s.Sampled && len(set) > 0 {
		out.cut(cases)
	}
	out.Cases = nil
	for _, group := range grouped(cases, func(c Case) []float64 { return c.At }) {
		together := group[0]
		for _, c := range group[1:] {
			together.Over = append(together.Over, c.Over...)
			together.CellMM = max(together.CellMM, c.CellMM)
		}
		out.Cases = append(out.Cases, together)
	}
	if !s.Sampled && uneven(out.Cases, free) {
		out.Notes = append(out.Notes, unevenNote)
	}
	return out
}

func pick(at []float64, axes []int) (out []float64) {
	for _, i := range axes {
		out = append(out, at[i])
	}
	return out
}

// grouped puts together what is at the same place, in the order of the first ones.
func grouped[T any](all []T, place func(T) []float64) (groups [][]T) {
	index := map[string]int{}
	for _, one := range all {
		key := fmt.Sprint(place(one))
		g, known := index[key]
		if !known {
			g = len(groups)
			index[key], groups = g, append(groups, nil)
		}
		groups[g] = append(groups[g], one)
	}
	return groups
}

// Parts into which a sampled axis is cut: as many as leave each part of the range enough points for
// a mean, at most mostParts.
const (
	partLeast = 20
	mostParts = 10
)

// cut moves the cases of a sampled design to the middles of equal parts of the axes.
func (s *Study) cut(cases []Case) {
	n := int(math.Pow(float64(len(cases))/partLeast, 1/float64(len(s.Axes))))
	n = min(max(n, 1), mostParts)
	for i := range s.Axes {
		a := &s.Axes[i]
		if len(a.Values) == 0 {
			continue // words: a sampled design has none
		}
		low, high := a.scaled(a.Values[0]), a.scaled(a.Values[len(a.Values)-1])
		if low == high {
			continue
		}
		edge := func(k float64) float64 { return a.unscaled(low + (high-low)*k/float64(n)) }
		a.Parts, a.Values = []float64{a.Values[0]}, nil
		for k := range n {
			a.Parts, a.Values = append(a.Parts, edge(float64(k+1))), append(a.Values, edge(float64(k)+0.5))
		}
		for c := range cases {
			k := int(float64(n) * (a.scaled(cases[c].At[i]) - low) / (high - low))
			cases[c].At[i] = a.Values[min(max(k, 0), n-1)]
		}
	}
	slices.SortStableFunc(cases, func(p, q Case) int { return slices.Compare(p.At, q.At) })
	s.Notes = append(s.Notes, fmt.Sprintf(sampledNote, plural(n, "part", "parts")))
}

// uneven tells whether settings were tried with other values of what is not known.
func uneven(cases []Case, free []int) bool {
	tried := func(c Case) string {
		var all []string
		for _, one := range c.Over {
			all = append(all, fmt.Sprint(pick(one.At, free)))
		}
		slices.Sort(all)
		return strings.Join(all, ";")
	}
	return slices.ContainsFunc(cases, func(c Case) bool { return tried(c) != tried(cases[0]) })
}

// numbers of a point that an average is taken of.
func (p *Point) numbers() []*tally.Real {
	all := []*tally.Real{
		&p.Chance, &p.Interval.Low, &p.Interval.High, &p.Fraction, &p.Counted.Low, &p.Counted.High, &p.Exact, &p.Strays,
		&p.DiameterMM, &p.P10, &p.P90, &p.FullH, &p.ProgrammeH,
	}
	if p.Laws != nil {
		all = append(all, p.Laws.Numbers()...)
	}
	return all
}

// average believes of a setting the mean of what is believed of its cases; a number that is not
// known of a case is left out of its mean. The mean of the ends of intervals holds whatever the
// cases share, and is too wide rather than too narrow. Points that were sampled leave the mean
// uncertain besides, by Student's t.
func (s *Study) average(c Case, wanted float64) Point {
	p := Point{At: c.At, cell: c.CellMM, Source: fromNone, Error: tally.Unknown()}
	all := make([]Point, len(c.Over))
	if l := c.Over[0].Laws; l.Count > 0 {
		p.Laws = &l
	}
	known := make([][]float64, len(p.numbers()))
	because := map[string]bool{}
	hopeless := true
	for i, one := range c.Over {
		m := s.believe(one, wanted)
		all[i] = m
		p.Runs, p.Hits, p.Cases = p.Runs+m.Runs, p.Hits+m.Hits, append(p.Cases, m.ID)
		for k, x := range m.numbers() {
			if k < len(known) && x.Known() {
				known[k] = append(known[k], float64(*x))
			}
		}
		hopeless = hopeless && m.Verdict == never
		if !m.Chance.Known() {
			continue
		}
		if p.Over++; float64(m.Chance) >= wanted {
			p.Reach++
		}
		if p.Source == fromNone || p.Source == fromExact {
			p.Source = m.Source
		}
		because[m.Because] = true
	}
	for k, x := range p.numbers() {
		*x = tally.Unknown()
		if len(known[k]) > 0 {
			*x = real(stat.Mean(known[k], nil))
		}
	}
	if n := float64(p.Over); s.Sampled && n > 1 {
		half := real(distuv.StudentsT{Sigma: 1, Nu: n - 1}.Quantile(0.975) * stat.StdDev(known[0], nil) / math.Sqrt(n))
		p.Interval = tally.Interval{Low: max(0, p.Interval.Low-half), High: min(1, p.Interval.High+half)}
		if p.Source == fromExact {
			p.Source = fromMean
		}
	}
	if len(because) == 1 && all[0].Because != "" {
		p.Because = all[0].Because
	}
	p.judge(wanted, hopeless)
	// the case with the middle chance is shown where one has to stand for all
	p.ID = ordered(all, func(a, b *Point) int { return cmp.Compare(a.Chance, b.Chance) })[len(all)/2].ID
	return p
}

// spread says at how many points that were averaged the wanted chance is reached.
func (p Point) spread(wanted float64) string {
	share := 100 * float64(p.Reach) / float64(p.Over)
	return fmt.Sprintf("%.0f %% of the %s %s", share, plural(p.Over, "point reaches", "points reach"), percent(wanted))
}
