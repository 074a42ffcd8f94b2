package report

import (
	"fmt"
	"time"
)

// influence says which input matters, where the study asks it.
func (s *Sources) influence() Section {
	out := Section{ID: "influence", Title: "Which input matters"}
	f := s.Findings
	if len(f.Influence) == 0 {
		return out
	}
	if len(s.Figures["influence"]) == 0 {
		var all []string
		for _, r := range f.Influence {
			all = append(all, minus(r.Sentence))
		}
		out.Blocks = []Block{{List: sentences(all)}, {Text: "The cases of this study stand on a grid, so this holds for the values that were tried. A design of the kind saltelli would tell shares of the variance."}}
		return out
	}
	var warnings []string
	for _, r := range f.Influence {
		out.Blocks = append(out.Blocks, Block{Text: minus(r.Sentence)})
		warnings = append(warnings, r.Warnings...)
	}
	out.Blocks = append(out.Blocks, s.figures("influence")...)
	return Section{out.ID, out.Title, append(out.Blocks, caution(warnings)...)}
}

// failures names the runs that failed.
func (s *Sources) failures() Section {
	out := Section{ID: "failures", Title: "Failures"}
	if s.Failed == 0 {
		return out
	}
	t := &Table{Marked: -1, Long: true, Head: []string{"Case", "Error", "Command that repeats it"}, Numbers: []bool{false, false, false},
		Caption: fmt.Sprintf("%s noted; failures.jsonl in the results folder has them all. Those that were repeated with success since stand in it as well.", plural(s.Failed, "failure"))}
	if len(s.Failures) < s.Failed {
		t.Caption = fmt.Sprintf("The first %d of ", len(s.Failures)) + t.Caption
	}
	for _, f := range s.Failures {
		t.Rows = append(t.Rows, []string{f.Case, f.Error, f.Command})
	}
	out.Blocks = []Block{{Table: t}}
	return out
}

// provenance says where everything comes from.
func (s *Sources) provenance() Section {
	out := Section{ID: "provenance", Title: "Where this comes from"}
	facts := []Fact{{"Results", s.Folder}, {"Study", s.Findings.Title}, {"Runs", fmt.Sprintf("%s; %d solid, %d with liquid left, %d failed", plural(s.Findings.Runs.Total, "run"), s.Findings.Runs.Solid, s.Findings.Runs.Liquid, s.Findings.Runs.Failed)}}
	if h := s.Findings.Runs.WallH; h > 0 {
		facts = append(facts, Fact{"Computing time", fmt.Sprintf("%.3g core hours", h)})
	}
	facts = append(facts, Fact{"Page made by", "onegrain " + s.Program + ": " + s.Command})
	out.Blocks = append(out.Blocks, Block{Facts: facts})
	if len(s.Sessions) > 0 {
		out.Blocks = append(out.Blocks, Block{Table: s.sessions()})
	}
	if s.Study != "" {
		out.Blocks = append(out.Blocks, Block{Fold: &Fold{Summary: "The study file, whole", Blocks: []Block{{Code: s.Study}}}})
	}
	return out
}

// mostSessions are listed.
const mostSessions = 12

func (s *Sources) sessions() *Table {
	t := &Table{Caption: "Commands that wrote these results, the last one first.", Marked: -1, Long: true, Head: []string{"Begun", "Ended", "Command", "Program", "Model version", "Built with", "SHA-256 of the study"}, Numbers: make([]bool, 7)}
	for i := len(s.Sessions) - 1; i >= 0; i-- {
		if len(t.Rows) == mostSessions {
			t.Caption += fmt.Sprintf(" %d earlier ones are in provenance.json.", i+1)
			break
		}
		one := s.Sessions[i]
		t.Rows = append(t.Rows, []string{moment(one.Start), moment(one.End), one.Command, one.Version, one.Model, one.Go + ", " + one.Platform, one.StudySHA256})
	}
	return t
}

func moment(t time.Time) string {
	if t.IsZero() {
		return "not ended"
	}
	return t.UTC().Format("2006-01-02 15:04") + " UTC"
}

// limits of the model.
func limits() Section {
	return Section{ID: "limits", Title: "What the model leaves out", Blocks: []Block{{List: []string{
		"Peritectic temperatures are known less well than growth windows are wide: think in undercooling, and calibrate with runs of your own furnace (onegrain fit).",
		"The temperature is that of the programme, with a static gradient where the study has one. Latent heat is left out: it is estimated to shift the temperature by less than 1 K over 10 mm at 0.5 mm/h.",
		"Not modelled: pushing of particles and its stall near a volume fraction of 0.6, drift of composition, loss of liquid, cracks, oxygenation.",
		"What is still liquid when the programme ends is reported and never counted as grain.",
	}}}}
}

// hazards of the work that such a page plans.
func hazards() Section {
	return Section{ID: "hazards", Title: "Hazards", Blocks: []Block{
		{Text: "This page plans furnace work and replaces no safety rule. Local codes and licensed practice decide."},
		{List: []string{
			"Furnaces above 1000 °C burn and set fire, also long after they were switched off; melts attack crucibles and linings.",
			"Barium compounds are toxic when swallowed or breathed in. Weigh, mix and press under extraction, with the protection their data sheets ask for, and collect waste as these demand.",
			"Fine powders of the other oxides harm the lungs: no dry sweeping, no open handling.",
			"Magnetised superconductors and the strong magnets used with them attract iron and each other with crushing force, and disturb implants: keep distance.",
			"Liquid nitrogen burns the skin and displaces the air of a room: ventilate, and measure oxygen.",
		}}}}
}
