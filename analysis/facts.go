package analysis

import (
	"github.com/BurntSushi/toml"

	"onegrain/analysis/magnet"
	"onegrain/studies/column"
)

// facts are what findings need of the study itself.
type facts struct {
	scattered bool // seeds are placed with scatter

	Title  string
	Random struct{ Pairing string }
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

// readFacts takes them from the study as it was given; what it leaves out has the defaults of the
// study file.
func readFacts(study []byte) (facts, error) {
	var f facts
	f.Random.Pairing, f.Domain.JoinDeg, f.Design.Kind = "common", 5, "grid"
	law := magnet.Published()
	f.Magnet.ThresholdDeg, f.Magnet.DecayDeg = law.ThresholdDeg, law.DecayDeg
	err := toml.Unmarshal(study, &f)
	return f, err
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

func (f *facts) law() magnet.Law {
	return magnet.Law{ThresholdDeg: f.Magnet.ThresholdDeg, DecayDeg: f.Magnet.DecayDeg}
}
