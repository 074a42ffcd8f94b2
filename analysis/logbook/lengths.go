package logbook

import (
	"fmt"
	"slices"
)

// Length is a row that says how far a face has grown.
type Length struct {
	Line
	Face    string // a or c
	Stage   Stage
	GrownMM float64 // above 0
}

// leastMM is a length that nobody can measure: it counts as none.
const leastMM = 1e-4

// Lengths are the rows that say how far a face has grown, and sentences about those that were left
// out. Temperatures need peritecticC, NaN where it is not known. Rows that are wrong are noted.
func (s *Sheet) Lengths(peritecticC float64) (rows []Length, sentences []string) {
	var nothing, empty []string
	for _, r := range s.rows() {
		if r.recorded() {
			continue
		}
		if !r.Filled("grown_mm") && !r.Filled("width_mm") {
			empty = append(empty, r.at().Name())
			continue
		}
		before := s.Faults()
		l := Length{Line: r.at()}
		l.Face, l.GrownMM = r.grown(0)
		l.Stage = r.stage(peritecticC)
		switch {
		case s.Faults() > before:
		case l.GrownMM > 0 && l.Stage.warm():
			r.Refuse("", "it has grown, but the undercooling was never above 0.01 K", "")
		case l.GrownMM < leastMM:
			nothing = append(nothing, l.Name())
		default:
			rows = append(rows, l)
		}
	}
	return rows, slices.Concat(leftOut(onlyRuns, s.recorded()),
		leftOut("there is neither grown_mm nor width_mm: %s", empty),
		leftOut("nothing has grown: %s; the fit takes logarithms and cannot use 0, so the law may be too fast where "+
			"growth is slow", nothing))
}

// grown reads the face of a row and how far it advanced, mm. Where a row has no seed, its width is
// that given, unless it is 0.
func (r row) grown(seedMM float64) (face string, mm float64) {
	if face = r.Word("face"); face == "" {
		face = "a"
	}
	switch {
	case r.Filled("grown_mm") && r.Filled("width_mm"):
		r.Refuse("width_mm", "one of the two is enough", "leave grown_mm or width_mm empty")
	case r.Filled("grown_mm"):
		mm = r.Number("grown_mm")
	case face == "c":
		r.Refuse("width_mm", "a width says nothing about a c face", "give grown_mm, the depth grown")
	default:
		width := r.Number("width_mm")
		seed := seedMM
		if r.Filled("seed_mm") || seed == 0 {
			seed = r.Needed("seed_mm", "a face has advanced (width_mm − seed_mm)/2; without a seed it is 0")
		}
		if mm = (width - seed) / 2; mm < 0 {
			r.Refuse("width_mm", fmt.Sprintf("less than seed_mm = %.6g", seed), "a grain does not become narrower than its seed")
		}
	}
	return face, mm
}
