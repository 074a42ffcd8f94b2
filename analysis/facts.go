package analysis

import (
	"strings"

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
	Seed   []placing
	Array  []placing `toml:"seed_array"`
	Vary   []struct{ Key string }
	Magnet struct {
		ThresholdDeg float64 `toml:"boundary_threshold_deg"`
		DecayDeg     float64 `toml:"boundary_decay_deg"`
	}
}

type placing struct {
	TurnSDDeg float64 `toml:"turn_sd_deg"`
	TiltSDDeg float64 `toml:"tilt_sd_deg"`
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

// scatter tells whether seeds are placed anew for each replicate.
func (f *facts) scatter() bool {
	for _, p := range append(append([]placing{}, f.Seed...), f.Array...) {
		if p.TurnSDDeg > 0 || p.TiltSDDeg > 0 {
			return true
		}
	}
	for _, v := range f.Vary {
		if strings.HasSuffix(v.Key, "_sd_deg") {
			return true
		}
	}
	return false
}

func (f *facts) law() magnet.Law {
	return magnet.Law{ThresholdDeg: f.Magnet.ThresholdDeg, DecayDeg: f.Magnet.DecayDeg}
}
