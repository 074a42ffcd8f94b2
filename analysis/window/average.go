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
		cases[c] = Case{CellMM: one.CellMM, Over: []Case{one}}
		for _, i := range set {
			cases[c].At = append(cases[c].At, one.At[i])
		}
	}
	if s.Sampled && len(set) > 0 {
		out.cut(cases)
	}
	out.Cases = gathered(cases)
	if !s.Sampled {
		out.Notes = append(out.Notes, uneven(out.Cases, free)...)
	}
	return out
}

// gathered puts cases at the same place together, in the order of their first ones.
func gathered(cases []Case) (all []Case) {
	index := map[string]int{}
	for _, c := range cases {
		key := fmt.Sprint(c.At)
		i, known := index[key]
		if !known {
			index[key], all = len(all), append(all, c)
			continue
		}
		all[i].Over, all[i].CellMM = append(all[i].Over, c.Over...), max(all[i].CellMM, c.CellMM)
	}
	return all
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
	s.Notes = append(s.Notes, fmt.Sprintf("no two points of a sampled design share what is set: what was explored is cut into %s along each axis "+
		"that is set, and a chance is the mean over the points of a part, in which what is set varies a little too", plural(n, "part", "parts")))
}

// uneven warns where settings were not tried with the same values of what is not known.
func uneven(cases []Case, free []int) []string {
	tried := func(c Case) string {
		var all []string
		for _, one := range c.Over {
			text := ""
			for _, i := range free {
				text += fmt.Sprint(one.At[i], " ")
			}
			all = append(all, text)
		}
		slices.Sort(all)
		return strings.Join(all, ";")
	}
	for _, c := range cases {
		if tried(c) != tried(cases[0]) {
			return []string{"settings were tried with different values of what is not known, so their averages do not compare like with like: take design.kind = \"grid\""}
		}
	}
	return nil
}

// numbers of a point that an average is taken of.
func (p *Point) numbers() []*tally.Real {
	return []*tally.Real{&p.Chance, &p.Interval.Low, &p.Interval.High, &p.Fraction, &p.Counted.Low, &p.Counted.High, &p.Exact, &p.Strays,
		&p.DiameterMM, &p.P10, &p.P90, &p.FullH, &p.ProgrammeH}
}

// average believes of a setting the mean of what is believed of its cases; a number that is not
// known of a case is left out of its mean. The mean of the ends of intervals holds whatever the
// cases share, and is too wide rather than too narrow. Points that were sampled leave the mean
// uncertain besides, by Student's t.
func (s *Study) average(c Case, wanted float64) Point {
	p := Point{At: c.At, cell: c.CellMM, Source: fromNone, Error: tally.Unknown(), fit: tally.Interval{Low: tally.Unknown(), High: tally.Unknown()}}
	all := make([]Point, len(c.Over))
	var chances []float64
	because := map[string]bool{}
	for i, one := range c.Over {
		all[i] = s.believe(one, wanted)
		m := &all[i]
		p.Runs, p.Hits, p.Cases = p.Runs+m.Runs, p.Hits+m.Hits, append(p.Cases, m.ID)
		if !m.Chance.Known() {
			continue
		}
		chances = append(chances, float64(m.Chance))
		if p.Over++; float64(m.Chance) >= wanted {
			p.Reach++
		}
		if p.Source == fromNone || p.Source == fromExact {
			p.Source = m.Source
		}
		because[m.Because] = true
	}
	for k, x := range p.numbers() {
		var known []float64
		for i := range all {
			if y := *all[i].numbers()[k]; y.Known() {
				known = append(known, float64(y))
			}
		}
		*x = real(mean(known))
	}
	if n := float64(len(chances)); s.Sampled && n > 1 {
		half := real(distuv.StudentsT{Sigma: 1, Nu: n - 1}.Quantile(0.975) * stat.StdDev(chances, nil) / math.Sqrt(n))
		p.Interval = tally.Interval{Low: max(0, p.Interval.Low-half), High: min(1, p.Interval.High+half)}
		if p.Source == fromExact {
			p.Source = fromMean
		}
	}
	if len(because) == 1 && all[0].Because != "" {
		p.Because = all[0].Because
	}
	p.judge(wanted, !slices.ContainsFunc(all, func(m Point) bool { return m.Verdict != never }))
	p.ID = middle(all)
	return p
}

// mean is NaN for none.
func mean(x []float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	return stat.Mean(x, nil)
}

// middle is the case with the middle chance, which is shown where one has to stand for all.
func middle(all []Point) string {
	byChance := ordered(all, func(a, b *Point) int { return cmp.Compare(a.Chance, b.Chance) })
	return byChance[len(byChance)/2].ID
}

// spread says at how many points that were averaged the wanted chance is reached.
func (p Point) spread(wanted float64) string {
	return fmt.Sprintf("%.0f %% of the %s %s", 100*float64(p.Reach)/float64(p.Over), plural(p.Over, "point reaches", "points reach"), percent(wanted))
}
