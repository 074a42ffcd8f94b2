package report

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"onegrain/analysis/chart/scale"
	"onegrain/studies/table"
)

// influence says which input matters, where the study asks it.
func (s *Sources) influence() (out []Block) {
	var texts, warnings []string
	for _, r := range s.Findings.Influence {
		texts, warnings = append(texts, minus(r.Sentence)), append(warnings, r.Warnings...)
	}
	figures := s.figures("influence")
	switch {
	case texts == nil:
		return nil
	case figures == nil:
		return append([]Block{{List: sentences(texts)}}, s.say("grid")...)
	}
	for _, t := range texts {
		out = append(out, Block{Text: t})
	}
	return slices.Concat(out, figures, caution(warnings...))
}

// failures names the runs that failed.
func (s *Sources) failures() []Block {
	if s.Failed == 0 {
		return nil
	}
	t := tableOf(fmt.Sprintf("%s noted; failures.jsonl in the results folder has them all. "+
		"Those that were repeated with success since stand in it as well.", scale.Plural(s.Failed, "failure")))
	t.words("Case", "Error", "Command that repeats it").Long = true
	if len(s.Failures) < s.Failed {
		t.Caption = fmt.Sprintf("The first %d of ", len(s.Failures)) + t.Caption
	}
	for _, f := range s.Failures {
		t.row(failed(f), f.Error, f.Command)
	}
	return []Block{{Table: t}}
}

// failed names what failed: the values of the case, or its name where nothing was varied.
func failed(f table.Failure) string {
	var parts []string
	for _, name := range slices.Sorted(maps.Keys(f.Values)) {
		parts = append(parts, fmt.Sprintf("%s = %v", name, f.Values[name]))
	}
	if parts == nil {
		parts = []string{f.CaseID}
	}
	if f.Replicate > 0 {
		parts = append(parts, fmt.Sprintf("replicate %d", f.Replicate))
	}
	return strings.Join(parts, ", ")
}

// provenance says where everything comes from.
func (s *Sources) provenance() []Block {
	runs := s.Findings.Runs
	facts := []Fact{{"Results", s.Folder}, {"Study", s.Findings.Title}, {"Runs", fmt.Sprintf(
		"%s; %d solid, %d with liquid left, %d failed", scale.Plural(runs.Total, "run"), runs.Solid, runs.Liquid,
		runs.Failed)}}
	if runs.WallH > 0 {
		facts = append(facts, Fact{"Computing time", fmt.Sprintf("%.3g core hours", runs.WallH)})
	}
	facts = append(facts, Fact{"Page made by", "onegrain " + s.Program + ": " + s.Command})
	out := []Block{{Facts: facts}}
	if len(s.Sessions) > 0 {
		out = append(out, Block{Table: s.sessions()})
	}
	if s.Study != "" {
		out = append(out, fold("The study file, whole", Block{Code: s.Study}))
	}
	return out
}

// mostSessions are listed.
const mostSessions = 12

func (s *Sources) sessions() *Table {
	t := tableOf("Commands that wrote these results, the last one first.")
	t.words("Begun", "Ended", "Command", "Program", "Model version", "Built with", "SHA-256 of the study").Long = true
	last := s.Sessions[max(0, len(s.Sessions)-mostSessions):]
	if n := len(s.Sessions) - len(last); n > 0 {
		t.Caption += fmt.Sprintf(" %d earlier ones are in provenance.json.", n)
	}
	for _, one := range slices.Backward(last) {
		t.row(moment(one.Start), moment(one.End), one.Command, one.Version, one.ModelVersion, one.GoVersion+", "+one.Platform,
			one.StudySHA256)
	}
	return t
}

func moment(t time.Time) string {
	if t.IsZero() {
		return "not ended"
	}
	return t.UTC().Format("2006-01-02 15:04") + " UTC"
}
