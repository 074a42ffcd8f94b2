package analysis

import (
	"github.com/BurntSushi/toml"

	"onegrain/analysis/magnet"
)

// facts are what findings need of the study itself.
type facts struct {
	Title  string
	Random struct{ Pairing string }
	Domain struct {
		JoinDeg float64 `toml:"join_deg"`
	}
	Design struct{ Kind string }
	Magnet struct {
		ThresholdDeg float64 `toml:"boundary_threshold_deg"`
		DecayDeg     float64 `toml:"boundary_decay_deg"`
	}
}

// readFacts takes them from the study as it was given; what it leaves out has the defaults of the study file.
func readFacts(study []byte) (facts, error) {
	var f facts
	f.Random.Pairing, f.Domain.JoinDeg, f.Design.Kind = "common", 5, "grid"
	law := magnet.Published()
	f.Magnet.ThresholdDeg, f.Magnet.DecayDeg = law.ThresholdDeg, law.DecayDeg
	err := toml.Unmarshal(study, &f)
	return f, err
}

func (f *facts) law() magnet.Law {
	return magnet.Law{ThresholdDeg: f.Magnet.ThresholdDeg, DecayDeg: f.Magnet.DecayDeg}
}
