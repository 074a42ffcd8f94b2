package magnet

import (
	"fmt"
	"math"
)

// mu0 is the magnetic constant in T m/A: 4π·10⁻⁷ (CODATA 2018 differs by 5·10⁻¹⁰ of it).
const mu0 = 4e-7 * math.Pi

// Conditions are those of a field map.
type Conditions struct {
	CurrentAPerM2 float64 // critical current density within a grain, A/m², > 0 (1 A/mm² = 10⁶ A/m²)
	ThicknessMM   float64 // of the body, mm, > 0
	HeightMM      float64 // of the map above the top face, mm, ≥ 0
}

func (c Conditions) check() error {
	switch {
	case !within(c.CurrentAPerM2, 1, 1e14):
		return fmt.Errorf("magnet: CurrentAPerM2 = %v: wanted a current density in A/m², 1 to 1e14", c.CurrentAPerM2)
	case !within(c.ThicknessMM, 1e-6, 1e6):
		return fmt.Errorf("magnet: ThicknessMM = %v: wanted the thickness of the body, a number of mm above 0", c.ThicknessMM)
	case !within(c.HeightMM, 0, 1e6):
		return fmt.Errorf("magnet: HeightMM = %v: wanted a number of mm above the top face, 0 or more", c.HeightMM)
	}
	return nil
}

// Field is the field of the fully magnetised body along c, above its top face, at the centres of
// the cells of the map.
//
// Currents are the same at all depths, so it holds for thick bodies and, as the thickness goes to
// 0, for films.
//
// It is an upper bound: the critical current density is the same everywhere within a grain, at
// every field, in every direction of the plane (in truth it falls with the field, and creep takes
// some per cent more); currents run in planes across c, and tilts of the grains are left out; the
// magnetising field was strong enough to fill the body; a column marked Void carries nothing.
type Field struct {
	NX, NY      int
	CellMM      float64
	OriginMM    [2]float64 // centre of cell (0, 0), mm
	BT          []float64  // T, cell (i, j) at j·NX + i
	Peaks       []Peak     // those that stand out by 20 % of their field, highest first; none where no current runs
	MomentAM2   float64    // magnetic moment of the whole body, A m²
	ResolutionT float64    // by how much, at most, the field changes if every boundary of cells moves by half a cell, T
}

// PeakT is the highest field, T; 0 where no current runs.
func (f *Field) PeakT() float64 {
	if len(f.Peaks) == 0 {
		return 0
	}
	return f.Peaks[0].BT
}

// Trap is the field of the map under these conditions.
func Trap(m *Map, c Conditions) (*Field, error) {
	if err := m.check(); err != nil {
		return nil, err
	}
	if err := c.check(); err != nil {
		return nil, err
	}
	g, err := m.stream()
	if err != nil {
		return nil, err
	}
	f := &Field{NX: m.NX, NY: m.NY, CellMM: m.CellMM, OriginMM: m.OriginMM}
	for u := range g {
		g[u] *= c.CurrentAPerM2 * 1e-3
		f.MomentAM2 += g[u] * m.CellMM * m.CellMM * c.ThicknessMM * 1e-9
	}
	f.BT = convolve(g, m.NX, m.NY, func(i, j int) float64 {
		return mu0 * charge(float64(i)*m.CellMM, float64(j)*m.CellMM, m.CellMM, c.HeightMM, c.ThicknessMM)
	})
	// A change of g by up to Jc·h/2 everywhere; the faces fill at most half of all directions.
	f.ResolutionT = mu0 * c.CurrentAPerM2 * m.CellMM * 1e-3 / 4
	f.Peaks = f.peaks()
	return f, nil
}
