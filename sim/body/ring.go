package body

import (
	"errors"
	"fmt"
)

// Ring is a disc with a round hole about the axis. It has no vertical section of one piece, so the
// plane "ac" is an error.
func Ring(outerMM, innerMM, heightMM, cellMM float64, flat int) (*Grid, error) {
	if flat == VerticalSection {
		return nil, errors.New(`plane = "ac": the vertical section of a ring is two pieces; ` +
			`use plane = "ab", or a block for one of them`)
	}
	if err := (length{"inner_diameter_mm", innerMM}).positive(); err != nil {
		return nil, err
	}
	if innerMM >= outerMM {
		return nil, fmt.Errorf("inner_diameter_mm = %v: must be smaller than outer_diameter_mm = %v", innerMM, outerMM)
	}
	g, err := round(outerMM, innerMM, heightMM, cellMM, flat, "outer_diameter_mm")
	if err != nil {
		return nil, err
	}
	if g.Cells() == 0 {
		return nil, fmt.Errorf("cell_mm = %v: no cell lies between the diameters %v and %v mm; choose smaller cells",
			cellMM, innerMM, outerMM)
	}
	g.obstruct()
	return g, nil
}
