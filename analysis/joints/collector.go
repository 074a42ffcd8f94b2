package joints

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"onegrain/analysis/magnet"
	"onegrain/analysis/tally"
)

// Law is the law by which boundaries pass current.
type Law = magnet.Law

// Published is the law where a study has none.
func Published() Law { return magnet.Published() }

// Collector takes in what grains and boundaries of many runs tell.
type Collector struct {
	law      magnet.Law
	runs     []run
	kinds    [3]Kind
	passing  [3]float64 // area times share
	watched  int
	contacts []Contact // of the watched run
}

// run is what is remembered of one run.
type run struct {
	of             int32 // case
	alike          bool  // its seeds are placed like those of the cases that sums are over
	seeds          int32
	joints         int32   // boundaries between seeded grains
	apart          int32   // those beyond the joining angle
	worst, tilt    float64 // degrees; NaN for none
	largest, solid float64 // mm³
}

// Kind is the boundaries between grains of two origins.
type Kind struct {
	Name       string     `json:"name"` // seed-seed, seed-stray, stray-stray
	Count      int        `json:"count"`
	AreaMM2    float64    `json:"area_mm2"`
	LowCount   int        `json:"low_angle_count"` // disorientation within domain.join_deg
	LowAreaMM2 float64    `json:"low_angle_area_mm2"`
	Passing    tally.Real `json:"mean_current_share"` // of the critical current, mean over the area; null without area

	Angles []AngleArea `json:"angles"`
}

// AngleArea is the area of boundaries whose disorientation lies from FromDeg up to but not
// including ToDeg.
type AngleArea struct {
	FromDeg float64 `json:"from_deg"`
	ToDeg   float64 `json:"to_deg"`
	AreaMM2 float64 `json:"area_mm2"`
	Count   int     `json:"count"`
}

// Contact is one boundary.
type Contact struct {
	Grain1   int     `json:"grain_1"`
	Grain2   int     `json:"grain_2"`
	AreaMM2  float64 `json:"area_mm2"`
	AngleDeg float64 `json:"disorientation_deg"`
	CAxisDeg float64 `json:"c_axis_angle_deg"`
	LowAngle bool    `json:"low_angle"`
	Kind     string  `json:"kind"`
	Passing  float64 `json:"current_share"` // of the critical current, by the law
}

// Boundaries sums up the boundaries of all runs.
type Boundaries struct {
	Kinds        []Kind    `json:"kinds"`
	Watched      []Contact `json:"watched,omitempty"` // of one run, the largest area first
	ThresholdDeg float64   `json:"threshold_deg"`     // of the law
	DecayDeg     float64   `json:"decay_deg"`
	Source       string    `json:"source"` // of the law
	Sentence     string    `json:"sentence"`
	Warnings     []string  `json:"warnings,omitempty"`
}

const (
	stepDeg      = 5
	mostDeg      = 100 // the largest disorientation of two tetragonal crystals is 98.42°
	mostContacts = 200 // of the watched run are listed
)

// New is an empty collector that uses this law for the current. The error says what is wrong with
// the constants of the law.
func New(law magnet.Law) (*Collector, error) {
	if err := law.Check(); err != nil {
		return nil, err
	}
	c := &Collector{law: law, watched: -1}
	for k, name := range []string{"seed-seed", "seed-stray", "stray-stray"} {
		c.kinds[k].Name = name
		for from := 0.0; from < mostDeg; from += stepDeg {
			c.kinds[k].Angles = append(c.kinds[k].Angles, AngleArea{FromDeg: from, ToDeg: from + stepDeg})
		}
	}
	return c, nil
}

// Run notes a run of a case and returns its number, from 0. alike: it counts in sums over cases,
// which must not mix seeds that are placed differently.
func (c *Collector) Run(of int, alike bool) int {
	c.runs = append(c.runs, run{of: int32(of), alike: alike, worst: math.NaN(), tilt: math.NaN()})
	return len(c.runs) - 1
}

// Watch lists the boundaries of one run.
func (c *Collector) Watch(run int) { c.watched = run }

// Grain notes a grain of a run: whether it grew from a seed, its volume, and its domain, from 1 for
// the largest; 0 for none. Grains of a run must be noted before its boundaries.
func (c *Collector) Grain(run int, seeded bool, volumeMM3 float64, domain int) {
	r := &c.runs[run]
	r.solid += volumeMM3
	if seeded {
		r.seeds++
	}
	if domain == 1 {
		r.largest += volumeMM3
	}
}

// Boundary notes a boundary of a run. Grains are numbered from 1, seeded ones first. CAxisDeg is
// the angle between the c axes.
func (c *Collector) Boundary(run int, b Contact) {
	r := &c.runs[run]
	strays := 0
	for _, g := range []int{b.Grain1, b.Grain2} {
		if g > int(r.seeds) {
			strays++
		}
	}
	share := c.law.Share(b.AngleDeg)
	if r.alike {
		c.passing[strays] += b.AreaMM2 * share
		c.kinds[strays].add(b)
	}
	if strays == 0 {
		r.joints++
		if !b.LowAngle {
			r.apart++
		}
		if !(b.AngleDeg <= r.worst) {
			r.worst = b.AngleDeg
		}
		if !(b.CAxisDeg <= r.tilt) {
			r.tilt = b.CAxisDeg
		}
	}
	if run == c.watched {
		b.Kind, b.Passing = c.kinds[strays].Name, share
		c.contacts = append(c.contacts, b)
	}
}

func (k *Kind) add(b Contact) {
	k.Count++
	k.AreaMM2 += b.AreaMM2
	if b.LowAngle {
		k.LowCount++
		k.LowAreaMM2 += b.AreaMM2
	}
	if bin := int(b.AngleDeg / stepDeg); bin >= 0 && bin < len(k.Angles) {
		k.Angles[bin].AreaMM2 += b.AreaMM2
		k.Angles[bin].Count++
	}
}

const (
	source = "H. Hilgenkamp and J. Mannhart, Rev. Mod. Phys. 74 (2002) 485: " +
		"all of the current up to the threshold angle, exponentially less beyond"
	assumed = "the law was found for [001] tilt boundaries of films; " +
		"in melt-grown bodies what gathers at a boundary can block even a small angle"
	lowAngle = "%.0f %% of the boundary area is low-angle, " +
		"and by the law a mean of %.0f %% of the critical current passes."
	notListed = "of the %d boundaries of the run only the %d with the largest area are listed"
)

// Boundaries sums up what was noted.
func (c *Collector) Boundaries() Boundaries {
	out := Boundaries{ThresholdDeg: c.law.ThresholdDeg, DecayDeg: c.law.DecayDeg, Source: source}
	if c.law != magnet.Published() {
		out.Source = "constants of the study; the form is that of " + source
	}
	total, low, passing := 0.0, 0.0, 0.0
	for i, k := range c.kinds {
		k.Passing = tally.Unknown()
		if k.AreaMM2 > 0 {
			k.Passing = tally.Real(c.passing[i] / k.AreaMM2)
		}
		total, low, passing = total+k.AreaMM2, low+k.LowAreaMM2, passing+c.passing[i]
		out.Kinds = append(out.Kinds, k)
	}
	slices.SortStableFunc(c.contacts, func(x, y Contact) int { return cmp.Compare(y.AreaMM2, x.AreaMM2) })
	out.Watched = c.contacts[:min(len(c.contacts), mostContacts)]
	if n := len(c.contacts); n > mostContacts {
		out.Warnings = append(out.Warnings, fmt.Sprintf(notListed, n, mostContacts))
	}
	switch {
	case len(c.runs) == 0:
		out.Sentence = "No run was recorded, so nothing is known of boundaries."
	case total == 0:
		out.Sentence = "No two grains touch in any run."
	default:
		out.Sentence = fmt.Sprintf(lowAngle, 100*low/total, 100*passing/total)
		out.Warnings = append(out.Warnings, assumed)
	}
	return out
}
