package joints

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"onegrain/analysis/magnet"
	"onegrain/analysis/tally"
)

// Book keeps what boundaries and grains of many runs tell.
type Book struct {
	law     magnet.Law
	runs    []run
	kinds   [3]Kind
	passing [3]float64 // area times share
	watched int
	seen    []Contact
}

// run is what is kept of one run.
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
	Name       string      `json:"name"` // seed-seed, seed-stray, stray-stray
	Count      int         `json:"count"`
	AreaMM2    float64     `json:"area_mm2"`
	LowCount   int         `json:"low_angle_count"` // disorientation within domain.join_deg
	LowAreaMM2 float64     `json:"low_angle_area_mm2"`
	Passing    tally.Real  `json:"mean_current_share"` // mean over the area of the share of the critical current that passes; null without area
	Angles     []AngleArea `json:"angles"`
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
	stepDeg = 5
	most    = 100 // degrees; the largest disorientation of two tetragonal crystals is 98.42°
)

// NewBook is an empty book that uses this law for the current. The error says what is wrong with
// the constants of the law.
func NewBook(law magnet.Law) (*Book, error) {
	if err := law.Check(); err != nil {
		return nil, err
	}
	b := &Book{law: law, watched: -1}
	for k, name := range []string{"seed-seed", "seed-stray", "stray-stray"} {
		b.kinds[k].Name = name
		for from := 0.0; from < most; from += stepDeg {
			b.kinds[k].Angles = append(b.kinds[k].Angles, AngleArea{FromDeg: from, ToDeg: from + stepDeg})
		}
	}
	return b, nil
}

// Run notes a run of a case and returns its number, from 0. alike: it counts in sums over cases,
// which must not mix seeds that are placed differently.
func (b *Book) Run(of int, alike bool) int {
	b.runs = append(b.runs, run{of: int32(of), alike: alike, worst: math.NaN(), tilt: math.NaN()})
	return len(b.runs) - 1
}

// Watch keeps the boundaries of one run.
func (b *Book) Watch(run int) { b.watched = run }

// Grain notes a grain of a run: whether it grew from a seed, its volume, and its domain, from 1 for
// the largest; 0 for none. Grains of a run must be noted before its boundaries.
func (b *Book) Grain(run int, seeded bool, volumeMM3 float64, domain int) {
	r := &b.runs[run]
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
func (b *Book) Boundary(run int, c Contact) {
	r := &b.runs[run]
	strays := 0
	for _, g := range []int{c.Grain1, c.Grain2} {
		if g > int(r.seeds) {
			strays++
		}
	}
	share := b.law.Share(c.AngleDeg)
	if r.alike {
		b.passing[strays] += c.AreaMM2 * share
		b.kinds[strays].add(c)
	}
	if strays == 0 {
		r.joints++
		if !c.LowAngle {
			r.apart++
		}
		if !(c.AngleDeg <= r.worst) {
			r.worst = c.AngleDeg
		}
		if !(c.CAxisDeg <= r.tilt) {
			r.tilt = c.CAxisDeg
		}
	}
	if run == b.watched {
		c.Kind, c.Passing = b.kinds[strays].Name, share
		b.seen = append(b.seen, c)
	}
}

func (k *Kind) add(c Contact) {
	k.Count++
	k.AreaMM2 += c.AreaMM2
	if c.LowAngle {
		k.LowCount++
		k.LowAreaMM2 += c.AreaMM2
	}
	if bin := int(c.AngleDeg / stepDeg); bin >= 0 && bin < len(k.Angles) {
		k.Angles[bin].AreaMM2 += c.AreaMM2
		k.Angles[bin].Count++
	}
}

// mostContacts of a watched run are told.
const mostContacts = 200

// Boundaries sums up what was noted.
func (b *Book) Boundaries() Boundaries {
	out := Boundaries{ThresholdDeg: b.law.ThresholdDeg, DecayDeg: b.law.DecayDeg, Source: source}
	if b.law != magnet.Published() {
		out.Source = "constants of the study; the form is that of " + source
	}
	total, low, passing := 0.0, 0.0, 0.0
	for i, k := range b.kinds {
		k.Passing = tally.Unknown()
		if k.AreaMM2 > 0 {
			k.Passing = tally.Real(b.passing[i] / k.AreaMM2)
		}
		total, low, passing = total+k.AreaMM2, low+k.LowAreaMM2, passing+b.passing[i]
		out.Kinds = append(out.Kinds, k)
	}
	slices.SortStableFunc(b.seen, func(x, y Contact) int { return cmp.Compare(y.AreaMM2, x.AreaMM2) })
	out.Watched = b.seen[:min(len(b.seen), mostContacts)]
	if len(b.seen) > mostContacts {
		out.Warnings = append(out.Warnings, fmt.Sprintf("of the %d boundaries of the run only the %d with the largest area are listed", len(b.seen), mostContacts))
	}
	if len(b.runs) == 0 {
		out.Sentence = "No run was recorded, so nothing is known of boundaries."
		return out
	}
	if total == 0 {
		out.Sentence = "No two grains touch in any run."
		return out
	}
	out.Sentence = fmt.Sprintf("%.0f %% of the boundary area is low-angle, and by the law a mean of %.0f %% of the critical current passes.", 100*low/total, 100*passing/total)
	out.Warnings = append(out.Warnings, assumed)
	return out
}

const (
	source  = "H. Hilgenkamp and J. Mannhart, Rev. Mod. Phys. 74 (2002) 485: all of the current up to the threshold angle, exponentially less beyond"
	assumed = "the law was found for [001] tilt boundaries of films; in melt-grown bodies what gathers at a boundary can block even a small angle"
)
