package main

import (
	"fmt"
	"math"
	"strings"

	"onegrain/analysis/chart"
	"onegrain/analysis/magnet"
	"onegrain/sim"
	"onegrain/sim/measure"
	"onegrain/studies"
)

// worth is what the grain map of a run is worth as a magnet and, for a block, as a conductor; what `draw --json` tells of it.
type worth struct {
	CurrentAPerMM2 float64  `json:"critical_current_A_per_mm2"`
	ThicknessMM    float64  `json:"thickness_mm"`
	HeightMM       float64  `json:"height_above_mm"`
	PeakT          float64  `json:"trapped_field_peak_T"`
	Peaks          []peak   `json:"trapped_field_peaks"`
	PassingT       float64  `json:"trapped_field_peak_with_boundary_currents_T"`
	PassingPeaks   int      `json:"peaks_with_boundary_currents"`
	WholeT         float64  `json:"trapped_field_peak_of_one_grain_T"`
	ResolutionT    float64  `json:"trapped_field_resolution_T"`
	MomentAM2      float64  `json:"magnetic_moment_A_m2"`
	WholeAM2       float64  `json:"magnetic_moment_of_one_grain_A_m2"`
	ThresholdDeg   float64  `json:"boundary_threshold_deg"`
	DecayDeg       float64  `json:"boundary_decay_deg"`
	AlongX         *float64 `json:"current_share_along_x,omitempty"`
	AlongY         *float64 `json:"current_share_along_y,omitempty"`
	Assumes        []string `json:"assumptions"`

	domainOf []int       // of each grain, -1 for strays
	seen     []int32     // columns as they are drawn in a strip: see shownColumns
	domains  *magnet.Map // clear columns
	passing  *magnet.Map // columns of seeded grains
	field    *magnet.Field
	cut      *magnet.Cut // of the current along x
}

type peak struct {
	XMM float64 `json:"x_mm"`
	YMM float64 `json:"y_mm"`
	T   float64 `json:"T"`
}

// assumptions of all numbers of a worth.
func assumptions() []string {
	return []string{
		"upper bound: one critical current density in all grains, at every field and in every direction of the plane",
		"fully magnetised, without creep; currents run across the vertical, tilts of the grains left out",
		"liquid, strays and columns of several domains carry nothing, and nothing passes from one domain to another",
	}
}

// worthOf weighs a run; nil for a vertical section, which shows no plane that currents run in.
func worthOf(o *sim.Outcome, c *chart.Cells, survey *measure.Survey, m studies.Magnet) (*worth, error) {
	if c.Flat == 1 {
		return nil, nil
	}
	thick := m.ThicknessMM
	if c.Flat < 0 {
		thick = float64(c.N[2]) * c.CellMM
	}
	w := &worth{CurrentAPerMM2: m.CurrentAPerMM2, ThicknessMM: thick, HeightMM: m.HeightMM, ThresholdDeg: m.ThresholdDeg, DecayDeg: m.DecayDeg, Peaks: []peak{}, Assumes: assumptions()}
	domains := domainsOf(survey)
	w.domainOf, w.domains, w.passing = domains, mapOf(o, clearColumns(c, domains)), mapOf(o, seededColumns(c, domains))
	w.seen = shownColumns(c, domains, w.passing.Grain)
	w.domains.Share = func(p, q int32) float64 {
		if domains[p] == domains[q] {
			return 1
		}
		return 0
	}
	w.passing.Share = passes(survey.Boundaries(), magnet.Law{ThresholdDeg: m.ThresholdDeg, DecayDeg: m.DecayDeg})
	if err := w.weigh(o); err != nil {
		return nil, err
	}
	return w, nil
}

// passes is the share of the current that the boundary of two grains passes.
func passes(boundaries []measure.Boundary, law magnet.Law) func(p, q int32) float64 {
	share := map[[2]int32]float64{}
	for _, b := range boundaries {
		share[[2]int32{int32(b.Grain1), int32(b.Grain2)}] = law.Share(b.DisorientationDeg)
	}
	return func(p, q int32) float64 { return share[[2]int32{min(p, q), max(p, q)}] }
}

// weigh finds the fields, and the currents along a block.
func (w *worth) weigh(o *sim.Outcome) (err error) {
	under := magnet.Conditions{CurrentAPerM2: w.CurrentAPerMM2 * 1e6, ThicknessMM: w.ThicknessMM, HeightMM: w.HeightMM}
	if w.field, err = magnet.Trap(w.domains, under); err != nil {
		return err
	}
	passing, err := magnet.Trap(w.passing, under)
	if err != nil {
		return err
	}
	whole, err := magnet.Trap(wholeOf(w.domains), under)
	if err != nil {
		return err
	}
	w.PeakT, w.ResolutionT, w.MomentAM2 = w.field.PeakT(), w.field.ResolutionT, w.field.MomentAM2
	w.PassingT, w.PassingPeaks, w.WholeT, w.WholeAM2 = passing.PeakT(), len(passing.Peaks), whole.PeakT(), whole.MomentAM2
	for _, p := range w.field.Peaks {
		w.Peaks = append(w.Peaks, peak{p.AtMM[0], p.AtMM[1], p.BT})
	}
	if !isBlock(o) {
		return nil
	}
	if w.cut, err = along(w.passing, &w.AlongX); err != nil {
		return err
	}
	_, err = along(turned(w.passing), &w.AlongY)
	return err
}

// along notes the share of the current along x; a block of a single cell that way has none.
func along(m *magnet.Map, share **float64) (*magnet.Cut, error) {
	if m.NX < 2 {
		return nil, nil
	}
	cut, err := magnet.Strip(m)
	if err == nil {
		*share = &cut.Share
	}
	return cut, err
}

// tell says a worth to people.
func (w *worth) tell(s streams) {
	var tops []string
	for _, p := range w.Peaks {
		tops = append(tops, fmt.Sprintf("%.3g", p.T))
	}
	const most = 4
	if len(tops) > most {
		tops = append(tops[:most], "…")
	}
	at := fmt.Sprintf("trapped field %g mm above the top at %g A/mm²", w.HeightMM, w.CurrentAPerMM2)
	if len(w.Peaks) == 0 {
		s.say("%s: none, for no column is of one domain (one grain: %.3g T)", at, w.WholeT)
		return
	}
	s.say("%s: %s of %s T at most (one grain: %.3g T), moment %.3g %% of that of one grain",
		at, plural(len(w.Peaks), "peak"), strings.Join(tops, ", "), w.WholeT, 100*w.MomentAM2/w.WholeAM2)
	if math.Abs(w.PassingT-w.PeakT) > w.ResolutionT {
		s.say("with currents through boundaries (all up to %g°, e times less for each %g° more): %.3g T, %s", w.ThresholdDeg, w.DecayDeg, w.PassingT, plural(w.PassingPeaks, "peak"))
	}
	if w.AlongX != nil && w.AlongY != nil {
		s.say("current at most, of that of one grain: %.3g %% along x, %.3g %% along y", 100**w.AlongX, 100**w.AlongY)
	}
}
