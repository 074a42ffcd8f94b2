package studies

import (
	"math"
	"slices"
	"strings"
	"time"

	"onegrain/studies/border"
)

// What running costs beside the engine, measured on one core of a 4 GHz machine.
const (
	replicateS   = 5e-4     // s, a replicate that is the run without strays
	programBytes = 32 << 20 // the program with a small body
)

// sample is a hundred cases or all, the first and the last among them, where most axes have their extreme values.
func (s *Study) sample() (cases []looked) {
	n := s.Cases()
	step := max(1, n/100)
	for i := 0; i < n; i += step {
		if i+step >= n {
			i = n - 1
		}
		cases = append(cases, s.look(i)...)
	}
	return cases
}

// look is case i, or nothing where it will be refused when its turn comes.
func (s *Study) look(i int) []looked {
	d, _ := s.document(i)
	t, o, c := s.converter.Estimate(d)
	if o.Cells == 0 {
		return nil
	}
	return []looked{{t, s, d, o, c, i}}
}

// cost adds up what the cases take, by those that were looked at.
func (s *Study) cost(e *Explanation, cases []looked) {
	e.FewestCells = math.MaxInt64
	all, odds, kept, runs := 0.0, 0.0, 0.0, 0.0
	for _, l := range cases {
		c, cells := l.cost, s.converter.Cells(l.doc)
		e.FewestCells, e.MostCells = min(e.FewestCells, cells), max(e.MostCells, cells)
		n := s.expected(l.outlook)
		any := -math.Expm1(-l.outlook.Strays)
		own, alone := c.Seeded, c.Seeded
		if l.Case.Scattered() {
			own, alone = n*own, float64(s.Placings())*alone
		}
		all, odds = all+own+n*(replicateS+any*c.Run), odds+alone
		runs, kept = runs+n, kept+n*any*c.Kept
		e.MemoryPerRun = max(e.MemoryPerRun, int64(c.Bytes))
	}
	each := float64(s.Cases()) / float64(len(cases)) / 3600
	e.CoreHours, e.OddsHours = all*each, odds*each
	waiting := min(runs*float64(s.Cases())/float64(len(cases)), FlushRuns, FlushEvery.Seconds()*runs/all) // for their file
	e.Memory = programBytes + e.MemoryPerRun + int64(waiting*kept/runs)
}

// expected is how many replicates a case should have: with a precision, until the interval of its chance is narrow.
func (s *Study) expected(o border.Outlook) float64 {
	if s.Precision == 0 {
		return float64(s.Replicates)
	}
	chance := math.Exp(-o.Free)
	n := Batch
	for n < s.Replicates && !s.Precise(int(math.Round(chance*float64(n))), n) {
		n += max(Batch, n/16/Batch*Batch)
	}
	return float64(min(n, s.Replicates))
}

// How many placings are looked at where no run is counted: as many as the study has replicates; no
// fewer than make an error worth telling, and no more than bring it below 0.0625 at worst.
const (
	fewestPlacings = 16
	mostPlacings   = 64
)

// Placings is how many placings the exact odds of a case are averaged over where no run is counted;
// 1 where no seed of the study is placed with scatter.
func (s *Study) Placings() int {
	varied := func(key string) bool { return strings.HasSuffix(key, "_sd_deg") }
	t, found := s.converter.Draft(s.doc)
	if len(found) == 0 && !t.Case.Scattered() && !slices.ContainsFunc(s.design.keys(), varied) {
		return 1
	}
	return min(max(s.Replicates, fewestPlacings), mostPlacings)
}

// How long finished runs wait in memory.
const (
	FlushRuns  = 256              // runs gathered in one part file
	FlushEvery = 30 * time.Second // the longest a finished run waits for its file
)
