package magnet

import (
	"errors"
	"fmt"
)

const (
	// Void marks a column of the body that carries no current: liquid, a stray, or not of one domain
	// through the thickness.
	Void int32 = -1
	// Outside marks a column that is not of the body, a hole included.
	Outside int32 = -2
)

// Map is a body of even thickness seen along its c axis, cut into square cells. Cell (i, j) stands
// at index j·NX + i.
type Map struct {
	NX, NY   int        // cells along x and y, ≥ 1
	CellMM   float64    // edge of a cell, mm
	OriginMM [2]float64 // centre of cell (0, 0), mm
	Grain    []int32    // number of the grain, ≥ 0; Void or Outside
	// OuterMM and InnerMM are the true radii of a round body about x = y = 0, mm; 0 where the outline
	// is that of the cells. They keep the steps of round outlines out of the stream function.
	OuterMM, InnerMM float64
	// Share is the share, 0 to 1, of the critical current that passes the boundary of two touching
	// grains; nil: nothing passes.
	Share func(p, q int32) float64
}

// mostCells keeps what the transforms need below 4 GB.
const mostCells = 1 << 24

func (m *Map) check() error {
	switch {
	case m == nil:
		return errors.New("magnet: no map given: pass the grains of a finished run")
	case m.NX < 1 || m.NY < 1 || m.NX > mostCells/m.NY:
		return fmt.Errorf("magnet: %d × %d cells: wanted at least one each way, and %d at most in all: take larger cells",
			m.NX, m.NY, mostCells)
	case len(m.Grain) != m.NX*m.NY:
		return fmt.Errorf("magnet: Grain has %d values for %d × %d cells", len(m.Grain), m.NX, m.NY)
	case !within(m.CellMM, 1e-6, 1e6):
		return fmt.Errorf("magnet: CellMM = %v: wanted the edge of a cell, a number of mm above 0", m.CellMM)
	case !within(m.OriginMM[0], -1e6, 1e6) || !within(m.OriginMM[1], -1e6, 1e6):
		return fmt.Errorf("magnet: OriginMM = %v: wanted the centre of the first cell, two numbers of mm", m.OriginMM)
	case !within(m.OuterMM, 0, 1e6) || !within(m.InnerMM, 0, 1e6) || m.InnerMM > 0 && m.InnerMM >= m.OuterMM:
		return fmt.Errorf("magnet: OuterMM = %v, InnerMM = %v: wanted 0, or an outer radius in mm above the inner one",
			m.OuterMM, m.InnerMM)
	}
	for u, g := range m.Grain {
		if g < Outside {
			return fmt.Errorf("magnet: Grain[%d] = %d: wanted a grain from 0, %d (void) or %d (outside)", u, g, Void, Outside)
		}
	}
	return nil
}

func within(x, low, high float64) bool { return x >= low && x <= high }

// grain is the grain of a cell; Outside off the map.
func (m *Map) grain(i, j int) int32 {
	if i < 0 || j < 0 || i >= m.NX || j >= m.NY {
		return Outside
	}
	return m.Grain[j*m.NX+i]
}

// shares remembers Share for each pair of grains, for a boundary has many cells.
type shares struct {
	on    *Map
	known map[[2]int32]float64
	err   error // the first
}

func newShares(m *Map) *shares { return &shares{on: m, known: map[[2]int32]float64{}} }

// of is the share that passes between cells of grains p and q: everything within a grain, nothing
// to or from what carries none.
func (s *shares) of(p, q int32) float64 {
	switch {
	case p < 0 || q < 0:
		return 0
	case p == q:
		return 1
	case s.on.Share == nil:
		return 0
	}
	pair := [2]int32{min(p, q), max(p, q)}
	x, ok := s.known[pair]
	if !ok {
		x = s.on.Share(pair[0], pair[1])
		s.known[pair] = x
		if !within(x, 0, 1) && s.err == nil {
			s.err = fmt.Errorf("magnet: Share(%d, %d) = %v: wanted 0 to 1", pair[0], pair[1], x)
		}
	}
	return x
}
