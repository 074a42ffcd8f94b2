package report

import (
	"fmt"
	"slices"
	"strings"

	"onegrain/analysis"
	"onegrain/analysis/chart/scale"
	"onegrain/analysis/evidence"
	"onegrain/analysis/window"
	"onegrain/studies/table"
)

// Sources is all that a page tells.
type Sources struct {
	Findings *analysis.Findings
	Folder   string              // of the results
	Study    string              // the file as given
	Laws     []string            // sentences on where its laws come from; none where that is not known
	Program  string              // version of the program that makes the page
	Model    string              // version of its physics
	Command  string              // that makes it
	Sessions []table.Provenance  // that wrote the results
	Failures []table.Failure     // the first of them
	Failed   int                 // how many there are
	Figures  map[string][]Figure // by section: window, programme, pictures, joints, field, influence
	Shown    *Shown              // nil: no case could be looked at closely, for the reason that NoCase gives
	NoCase   string
	Evidence *evidence.Page // nil: the program carries none
}

// Make puts a page together.
func Make(s Sources) Page {
	p := Page{Title: s.Findings.Title,
		Lead: "What the furnace programme, the seeds and the body of this study lead to: " + s.count() + "."}
	if p.Title == "" {
		p.Title = "Study " + s.Folder
	}
	for _, part := range []struct {
		id, title string
		blocks    func() []Block
	}{
		{"answer", "The answer", s.answer},
		{"window", "The window", s.cases},
		{"programme", "The furnace programme", s.programme},
		{"pictures", "What the grains look like", s.pictures},
		{"joints", "Domains and boundaries", s.joints},
		{"field", "What it is worth as a magnet", s.field},
		{"influence", "Which input matters", s.influence},
		{"failures", "Failures", s.failures},
		{"provenance", "Where this comes from", s.provenance},
		{"limits", "What the model leaves out", nil},
		{"evidence", "How the program was tried", s.evidence},
		{"hazards", "Hazards", nil},
	} {
		if part.blocks == nil {
			part.blocks = func() []Block { return s.say(part.id) }
		}
		if blocks := part.blocks(); len(blocks) > 0 {
			p.Sections = append(p.Sections, Section{part.id, part.title, blocks})
		}
	}
	return p
}

// count says how much was computed.
func (s *Sources) count() string {
	f := s.Findings
	if f.Runs.Total == 0 {
		return scale.Plural(f.Cases, "case") + ", by their exact odds alone"
	}
	return fmt.Sprintf("%s, %s", scale.Plural(f.Cases, "case"), scale.Plural(f.Runs.Total, "run"))
}

// figures of a section as blocks.
func (s *Sources) figures(section string) (blocks []Block) {
	for i := range s.Figures[section] {
		b := Block{Figure: &s.Figures[section][i]}
		if b.Figure.Moves {
			b = Block{Fold: &Fold{Summary: b.Figure.Caption, Screen: true, Blocks: []Block{b}}}
		}
		blocks = append(blocks, b)
	}
	return blocks
}

// points are the cases, in the order of the slices.
func (s *Sources) points() (all []window.Point) {
	for _, sl := range s.Findings.Window.Slices {
		all = append(all, sl.Points...)
	}
	return all
}

// label of an axis for people.
func (s *Sources) label(name string) string {
	for _, a := range s.Findings.Axes {
		if a.Name == name {
			return a.Label
		}
	}
	return name
}

// Settings of a case in words; empty where nothing was varied, or where they are not told case by
// case.
func (s *Sources) Settings(id string) string {
	for _, c := range s.Findings.PerCase {
		if c.ID == id {
			return s.settings(c.Settings)
		}
	}
	if b := s.Findings.Best; b != nil && b.ID == id {
		return s.settings(b.Settings)
	}
	return ""
}

// settings in words.
func (s *Sources) settings(all []window.Setting) string {
	var parts []string
	for _, one := range all {
		parts = append(parts, s.label(one.Axis)+" "+powers(one.Value))
	}
	return strings.Join(parts, ", ")
}

// caution is a block of warnings, each once; none without any.
func caution(texts ...string) (blocks []Block) {
	var all []string
	for _, t := range texts {
		if t = sentence(t); !slices.Contains(all, t) {
			all = append(all, t)
		}
	}
	if all != nil {
		blocks = []Block{{Caution: all}}
	}
	return blocks
}

// fold is closed until the reader opens it.
func fold(summary string, blocks ...Block) Block {
	return Block{Fold: &Fold{Summary: summary, Blocks: blocks}}
}
