package lawbook

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"onegrain/analysis/belief"
	"onegrain/analysis/fit/block"
	"onegrain/analysis/logbook"
	"onegrain/studies"
	"onegrain/studies/draws"
	"onegrain/studies/proof"
)

// Fit is what the other fits ask.
type Fit = block.Question

// Law is what came of one of them for one kind of face or place.
type Law = block.Law

// Fitted is what came of one of them.
type Fitted = block.Answer

// Columns lists the columns of a logbook that a fit (growth, nuclei or laws) reads, one a line.
func Columns(law string) string { return block.Columns(law) }

// Question is what is asked of a logbook.
type Question struct {
	Fit
	Priors []string                          // as KEY=MIDDLE,FACTOR
	Family string                            // barrier, sites or both
	Leave  []string                          // names of runs that are left out
	Out    string                            // name of the file of laws; empty for none
	Open   func(name string) ([]byte, error) // a file beside the logbook
	Begin  func(runs int)                    // is called before what takes time

	body   *proof.Body
	priors []belief.Prior
}

// mostRuns is how many runs are learnt from. More leave nothing unknown that matters, and take
// hours.
const mostRuns = 300

// manyStrays is how many are told apart; more are as many as one more.
const manyStrays = 25

// Unsettled is the error of runs that no law explains.
type Unsettled struct{ Text string }

// Error names the runs, and what to do.
func (u Unsettled) Error() string { return u.Text }

const again = "look at these rows again: is each of them that run, with all its stages? --leave RUN leaves one out"

// Settle checks what can be checked without any file.
func (q *Question) Settle() error {
	if q.Body == "" {
		return errors.New("--body STUDY.toml is missing: a study of the body in which the runs were made; " +
			"its growing seed says what was liquid when strays came")
	}
	if !slices.Contains([]string{"barrier", "sites", "both"}, q.Family) {
		return fmt.Errorf("--family %q: wanted barrier, sites or both", q.Family)
	}
	q.PeritecticC = math.NaN()
	if q.Base != "" {
		if err := q.TakeBase(); err != nil {
			return err
		}
	}
	q.priors = belief.Priors()
	for _, text := range q.Priors {
		if err := q.prior(text); err != nil {
			return fmt.Errorf("--prior %s: %w", text, err)
		}
	}
	return nil
}

// prior changes one, as KEY=MIDDLE,FACTOR.
func (q *Question) prior(text string) error {
	key, value, _ := strings.Cut(text, "=")
	i := slices.IndexFunc(q.priors, func(p belief.Prior) bool { return p.Key == key })
	if i < 0 {
		var keys []string
		for _, p := range q.priors {
			keys = append(keys, p.Key)
		}
		return fmt.Errorf("there is no prior of that name; there are %s", strings.Join(keys, ", "))
	}
	p := &q.priors[i]
	first, second, two := strings.Cut(value, ",")
	middle, err1 := strconv.ParseFloat(first, 64)
	within, err2 := strconv.ParseFloat(second, 64)
	least, what := 0.0, "a distance above 0"
	if p.Log {
		least, what = 1, "a factor above 1"
	}
	switch {
	case !two || err1 != nil || err2 != nil || math.IsInf(middle, 0) || math.IsInf(within, 0):
		return fmt.Errorf("wanted KEY=MIDDLE,FACTOR: two numbers, as %s=%.4g,%.2g", key, p.Middle, within90(*p))
	case !(within > least):
		return fmt.Errorf("wanted %s for the second number: 90 of 100 lie within it on either side of the middle", what)
	case p.Log && !(middle > 0):
		return errors.New("wanted a middle above 0")
	}
	p.Change(middle, within)
	return nil
}

// Grow takes the body from a case of a study; the error says why it cannot.
func (q *Question) Grow(p studies.Planned) error {
	body, err := proof.Of(p)
	if err != nil {
		return fmt.Errorf("--body %s: %w", q.Body, err)
	}
	if math.Abs(q.PeritecticC-body.PeritecticC) > 0.005 { // never of NaN
		return fmt.Errorf("--body %s: its peritectic temperature is %.6g °C, and that of %q is %.6g °C: undercoolings "+
			"would not be the same", q.Body, body.PeritecticC, q.Base, q.PeritecticC)
	}
	q.body, q.PeritecticC = body, body.PeritecticC
	return nil
}

// Learn learns the laws from the runs of the logbook in the body. An error is about the logbook, or
// Unsettled.
func (q *Question) Learn() (*Answer, error) {
	sheet, err := logbook.Read(q.File, q.Text)
	if err != nil {
		return nil, err
	}
	b, sum := q.body, sha256.New()
	sum.Write(q.Text)
	open := func(name string) ([]byte, error) { // a controller's record is a part of the logbook
		data, err := q.Open(name)
		sum.Write(data)
		return data, err
	}
	runs, furnaces, notes := sheet.Runs(logbook.Made{Name: q.Body, PeritecticC: b.PeritecticC, WholeMM3: b.WholeMM3,
		RimMM: b.RimMM, DepthMM: b.DepthMM, SeedMM: b.SeedMM}, open)
	if err := sheet.Err(); err != nil {
		return nil, err
	}
	for _, name := range q.Leave {
		others := runs[:0]
		for _, r := range runs {
			if r.Name != name {
				others = append(others, r)
			}
		}
		if len(others) == len(runs) {
			return nil, fmt.Errorf("--leave %s: no run of %s has that name and says anything", name, q.File)
		}
		runs = others
	}
	looked, crowded := 0, false
	for _, r := range runs {
		first := true
		for _, f := range r.Saw {
			if f.MM == 0 && first { // of strays
				looked, first = looked+1, false
			}
			crowded = crowded || f.Least > manyStrays
		}
	}
	switch n := len(runs); {
	case n == 0 && len(sheet.Rows) > 0:
		return nil, fmt.Errorf("%s: no run says anything that laws can be learnt from: wanted width_mm, grown_mm, full, "+
			"strays or one of its like; %s", q.File, strings.Join(notes, "; "))
	case n > mostRuns:
		return nil, fmt.Errorf("%s: %d runs, and laws are learnt from %d at most, which leave nothing unknown that matters: "+
			"take the latest, or those of the undercoolings that matter", q.File, n, mostRuns)
	}
	q.Begin(len(runs))
	hash := hex.EncodeToString(sum.Sum(nil))
	o := belief.Options{Priors: q.priors, Key: hash, Furnaces: len(furnaces)}
	if q.Family != "both" {
		o.Families = []string{q.Family}
	}
	p, err := belief.Learn(runs, belief.Body{Table: b.Table, PeritecticC: b.PeritecticC}, o)
	if err != nil {
		return nil, Unsettled{fmt.Sprintf("%s: %v; %s", q.File, err, again)}
	}
	return q.answer(p, q.kept(p, furnaces, hash), append(notes, q.notes(p, looked, crowded)...)), nil
}

// kept is what stands in a file of laws.
func (q *Question) kept(p *belief.Posterior, furnaces []string, hash string) *draws.File {
	if p.Runs == 0 {
		p.LowestK, p.HighestK = 0, 0
	}
	return &draws.File{Laws: p.Laws, Furnaces: furnaces, LogbookHash: hash, Priors: q.priorText(), ParetoK: p.ParetoK,
		Effective: p.Effective, LowestK: p.LowestK, HighestK: p.HighestK, LowestStrayK: p.LowestStrayK,
		HighestStrayK: p.HighestStrayK, ModelVersion: studies.ModelVersion, PeritecticC: q.PeritecticC}
}
