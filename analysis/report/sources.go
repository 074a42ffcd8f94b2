package report

import (
	"onegrain/analysis"
	"onegrain/studies/border"
	"onegrain/studies/table"
)

// Sources is all that a page is made from.
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
}

// Figure is a drawn figure.
type Figure struct {
	Caption string
	Alt     string // what is seen, for those who do not see it
	Image   []byte // PNG or GIF, carried by the page
	Kind    string // image/png or image/gif
	Width   int    // pixels
	Height  int
	Files   []string // beside the page: the same figure to be used elsewhere
	Moves   bool     // shown only when asked for
}

// Shown is the case whose programme and pictures the page has.
type Shown struct {
	Name      string // as "case 3 of 40: cooling_rate_K_per_h = 0.4"
	Best      bool   // the findings' best; else there is none and this is an example
	Replicate int    // grown again; 0 where none was
	Why       string // why none was
	Stages    []border.StageRow
	Margins   []string    // how far seeds stay from dissolving
	Run       [][2]string // what came of it: names, each with a value
	Magnet    [][2]string // trapped field and current, likewise
	Assumed   []string    // by these
}
