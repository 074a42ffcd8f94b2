package analysis

import (
	"bytes"
	"fmt"

	"onegrain/analysis/joints"
	"onegrain/studies/column"
	"onegrain/studies/strict"
	"onegrain/studies/table"
)

// facts are what findings need of the study itself.
type facts struct {
	scattered bool // seeds are placed with scatter

	Title  string
	Random struct{ Pairing, Laws string }
	Domain struct {
		JoinDeg float64 `toml:"join_deg"`
	}
	Design struct{ Kind string }
	Vary   []struct{ Key, Name, Role string }
	Body   struct {
		CellMM float64 `toml:"cell_mm"`
	}
	Magnet struct {
		ThresholdDeg float64 `toml:"boundary_threshold_deg"`
		DecayDeg     float64 `toml:"boundary_decay_deg"`
	}
}

// factsOf are those of the study of a folder. What it leaves out has the defaults of the study
// file; what cannot be read is a warning.
func factsOf(f *table.Folder) (of facts, warnings []string, err error) {
	text, err := f.Study()
	if err != nil {
		return of, nil, err
	}
	law := joints.Published()
	of.Random.Pairing, of.Domain.JoinDeg, of.Design.Kind = "common", 5, "grid"
	of.Magnet.ThresholdDeg, of.Magnet.DecayDeg = law.ThresholdDeg, law.DecayDeg
	of.scattered = bytes.Contains(text, []byte("_sd_deg"))
	warnings = []string{}
	if bad := strict.Decode(string(text), &of); bad != nil {
		const unread = "study.toml in the results cannot be read (%v): its values are taken to be the defaults"
		warnings = append(warnings, fmt.Sprintf(unread, bad))
	}
	return of, warnings, nil
}

// axis is the [[vary]] that made a column: its key, and whether it is merely not known.
func (f *facts) axis(name string) (key string, unknown bool) {
	for _, v := range f.Vary {
		if v.Name == name || v.Name == "" && column.ColumnOf(v.Key) == name {
			return v.Key, v.Role == "unknown"
		}
	}
	return "", false
}

// sampled tells whether the design spreads its points like sand.
func (f *facts) sampled() bool {
	return f.Design.Kind == "latin" || f.Design.Kind == "sobol" || f.Design.Kind == "saltelli"
}
