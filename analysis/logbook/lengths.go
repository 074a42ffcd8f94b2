package logbook

import "fmt"

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
	for _, r := range s.rows {
		if !r.filled("grown_mm") && !r.filled("width_mm") {
			empty = append(empty, r.at().Name())
			continue
		}
		before := len(s.problems)
		l := Length{Line: r.at()}
		l.Face, l.GrownMM = r.grown()
		l.Stage = r.stage(peritecticC)
		switch {
		case len(s.problems) > before:
		case l.GrownMM > 0 && l.Stage.warm():
			r.wrong("", "it has grown, but the undercooling was never above 0.01 K", "")
		case l.GrownMM < leastMM:
			nothing = append(nothing, l.Name())
		default:
			rows = append(rows, l)
		}
	}
	return rows, append(leftOut("there is neither grown_mm nor width_mm: %s", empty),
		leftOut("nothing has grown: %s; the fit takes logarithms and cannot use 0, so the law may be too fast where "+
			"growth is slow", nothing)...)
}

// grown reads the face of a row and how far it advanced, mm.
func (r *row) grown() (face string, mm float64) {
	if face = r.word("face"); face == "" {
		face = "a"
	}
	switch {
	case r.filled("grown_mm") && r.filled("width_mm"):
		r.wrong("width_mm", "one of the two is enough", "leave grown_mm or width_mm empty")
	case r.filled("grown_mm"):
		mm = r.number("grown_mm")
	case face == "c":
		r.wrong("width_mm", "a width says nothing about a c face", "give grown_mm, the depth grown")
	default:
		width := r.number("width_mm")
		seed := r.needed("seed_mm", "a face has advanced (width_mm − seed_mm)/2; without a seed it is 0")
		if mm = (width - seed) / 2; mm < 0 {
			r.wrong("width_mm", fmt.Sprintf("less than seed_mm = %.6g", seed), "a grain does not become narrower than its seed")
		}
	}
	return face, mm
}
