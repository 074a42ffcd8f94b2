package again

import (
	"math"

	"onegrain/analysis/magnet"
	"onegrain/analysis/trace"
)

// Magnet is what the grain map of a run traps of a field and, for a block, carries of a current.
type Magnet struct {
	CurrentAPerMM2 float64  `json:"critical_current_A_per_mm2"`
	ThicknessMM    float64  `json:"thickness_mm"`
	HeightMM       float64  `json:"height_above_mm"`
	PeakT          float64  `json:"trapped_field_peak_T"`
	Peaks          []Peak   `json:"trapped_field_peaks"`
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

	Field   *magnet.Field `json:"-"` // above the top face
	Domains *magnet.Map   `json:"-"` // columns of one domain from bottom to top, named by their grain
	Passing *magnet.Map   `json:"-"` // columns of seeded grains
	Cut     *magnet.Cut   `json:"-"` // that limits the current along x; nil where the body is no block
	Shown   []int32       `json:"-"` // the columns of Passing with, where there is no current, what stops it
}

// Peak is a place where the field is highest.
type Peak struct {
	XMM float64 `json:"x_mm"`
	YMM float64 `json:"y_mm"`
	T   float64 `json:"T"`
}

// Magnet weighs the run; nil for a vertical section, which shows no plane that currents run in.
func (g *Grown) Magnet() (*Magnet, error) {
	under, grid := g.Planned.Magnet(), g.Outcome.Case.Grid
	if grid.Flat == 1 {
		return nil, nil
	}
	thick := under.ThicknessMM
	if grid.Flat < 0 {
		thick = float64(grid.N[2]) * grid.CellMM
	}
	m := &Magnet{
		CurrentAPerMM2: under.CurrentAPerMM2, ThicknessMM: thick, HeightMM: under.HeightMM,
		ThresholdDeg: under.ThresholdDeg, DecayDeg: under.DecayDeg, Peaks: []Peak{},
		Assumes: []string{
			"upper bound: one critical current density in all grains, at every field and in every direction of the plane",
			"fully magnetised, without creep; currents run across the vertical, tilts of the grains left out",
			"liquid, strays and columns of several domains carry nothing, and nothing passes from one domain to another",
		},
	}
	cells, rim := block{grid.N, g.Cells.Grain, g.Domain}, grid.Rim()
	body := magnet.Map{NX: grid.N[0], NY: grid.N[1], CellMM: grid.CellMM, OuterMM: rim.OuterMM, InnerMM: rim.InnerMM,
		OriginMM: [2]float64{grid.Origin[0], grid.Origin[1]}}
	domains, passing := body, body
	domains.Grain, passing.Grain, m.Shown = cells.clear(), cells.seeded(), cells.shown()
	m.Domains, m.Passing = &domains, &passing
	domains.Share = func(p, q int32) float64 {
		if g.Domain[p] == g.Domain[q] {
			return 1
		}
		return 0
	}
	law := magnet.Law{ThresholdDeg: m.ThresholdDeg, DecayDeg: m.DecayDeg}
	passing.Share = func(p, q int32) float64 {
		b, touch := g.Boundary(p, q)
		if !touch {
			return 0
		}
		return law.Share(b.DisorientationDeg)
	}
	return m, m.weigh(grid.Cells() == grid.N[0]*grid.N[1]*grid.N[2])
}

// Passes tells whether currents through boundaries change the field.
func (m *Magnet) Passes() bool { return math.Abs(m.PassingT-m.PeakT) > m.ResolutionT }

// weigh finds the fields and, of a block, which fills its grid, the currents along it.
func (m *Magnet) weigh(block bool) error {
	whole := renamed(m.Domains, func(grain int32) int32 {
		if grain == magnet.Outside {
			return grain
		}
		return 0
	})
	under := magnet.Conditions{
		CurrentAPerM2: m.CurrentAPerMM2 * 1e6, ThicknessMM: m.ThicknessMM, HeightMM: m.HeightMM,
	}
	var fields [3]*magnet.Field
	for i, of := range []*magnet.Map{m.Domains, m.Passing, whole} {
		var err error
		if fields[i], err = magnet.Trap(of, under); err != nil {
			return err
		}
	}
	m.Field = fields[0]
	m.PeakT, m.ResolutionT, m.MomentAM2 = m.Field.PeakT(), m.Field.ResolutionT, m.Field.MomentAM2
	m.PassingT, m.PassingPeaks = fields[1].PeakT(), len(fields[1].Peaks)
	m.WholeT, m.WholeAM2 = fields[2].PeakT(), fields[2].MomentAM2
	for _, p := range m.Field.Peaks {
		m.Peaks = append(m.Peaks, Peak{p.AtMM[0], p.AtMM[1], p.BT})
	}
	if !block {
		return nil
	}
	var err error
	if m.Cut, err = along(m.Passing, &m.AlongX); err != nil {
		return err
	}
	_, err = along(turned(m.Passing), &m.AlongY)
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

// Outlines are the lines around the domains and the body, in mm.
func (g *Grown) Outlines(m *Magnet) [][][2]float64 {
	return trace.Chains(renamed(m.Domains, func(grain int32) int32 {
		if grain < 0 {
			return grain
		}
		return int32(g.Domain[grain])
	}).Outlines())
}
