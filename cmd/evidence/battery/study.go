package battery

import (
	"fmt"
	"strings"
)

// study is a study file in parts; those that are left out are 0, false and none in the file as
// well.
type study struct {
	seed, runs      int    // of [random]: 20261125 and 1 if 0
	independent     bool   // random numbers of the cases
	base            string // of [material]; empty for laws of its own
	a, c            growthLaw
	peritectic      float64 // °C; with a base only to say when it begins
	body            string
	seeds           []pose
	p               programme
	melt            string // lines of [nucleation.melt]; as in the base if empty
	kind            string // of [nucleation.orientation]
	history, fields bool   // kept
	vary            []string
}

// pose is where a seed lies, mm and degrees.
type pose struct{ x, y, size, turnDeg float64 }

// jumpAndHold starts 1 K above the peritectic temperature, jumps to 10 K of undercooling and stays
// there.
func jumpAndHold(hours float64) programme {
	return programme{-1, []stage{{toK: 10, rate: jump}, {hold: hours}}}
}

const noNuclei = "law = \"none\"\n"

func (s study) text() string {
	var b strings.Builder
	say := func(format string, values ...any) { fmt.Fprintf(&b, format+"\n", values...) }
	if s.seed == 0 {
		s.seed = 20261125
	}
	say("[random]\nseed = %d\nreplicates = %d", s.seed, max(1, s.runs))
	if s.independent {
		say("pairing = \"independent\"")
	}
	if s.base != "" {
		say("[material]\nbase = %q", s.base)
	} else {
		say("[material]\nperitectic_C = %v", s.peritectic)
	}
	if s.a != nil {
		say("growth_a = %s\ngrowth_c = %s", s.a.toml(), s.c.toml())
	}
	say("[body]\n%s", s.body)
	for _, p := range s.seeds {
		say("[[seed]]\nat_mm = [%v, %v]\nsize_mm = [%v, %v]\nturn_deg = %v", p.x, p.y, p.size, p.size, p.turnDeg)
	}
	say("%s", s.p.toml(s.peritectic))
	if s.kind != "" {
		say("[nucleation.orientation]\nkind = %q", s.kind)
	}
	if s.melt != "" {
		say("[nucleation.melt]\n%s", s.melt)
	}
	say("[keep]\nhistory = %v\nfields = %q", s.history, map[bool]string{true: "all", false: "none"}[s.fields])
	say("%s", strings.Join(s.vary, "\n"))
	return b.String()
}

// block is the body of a block of cells: two sizes in a plane ("ab", "ac"), three in space ("").
func block(plane string, cellMM float64, sizeMM ...float64) string {
	return fmt.Sprintf("shape = \"block\"\n%scell_mm = %v\nsize_mm = %s", inPlane(plane), cellMM, list(sizeMM))
}

// endless is a block whose opposite faces are joined.
func endless(plane string, cellMM float64, sizeMM ...float64) string {
	return block(plane, cellMM, sizeMM...) + "\nperiodic = true"
}

// disc is a disc, seen from above where its height is 0.
func disc(cellMM, diameterMM, heightMM float64) string {
	lower := fmt.Sprintf("height_mm = %v", heightMM)
	if heightMM == 0 {
		lower = inPlane("ab")
	}
	return fmt.Sprintf("shape = \"disc\"\ncell_mm = %v\ndiameter_mm = %v\n%s", cellMM, diameterMM, lower)
}

func inPlane(plane string) string {
	if plane == "" {
		return ""
	}
	return fmt.Sprintf("plane = %q\n", plane)
}

func list[T any](values []T) string { return strings.Join(strings.Fields(fmt.Sprint(values)), ", ") }

// vary are the cases of a study along one key.
func vary[T any](key string, values []T) string {
	return fmt.Sprintf("[[vary]]\nkey = %q\nvalues = %s", key, list(values))
}

// evenly varies a key over n values in the middle of equal parts of an interval from 0.
func evenly(key string, top float64, n int) string {
	half := top / float64(n) / 2
	return fmt.Sprintf("[[vary]]\nkey = %q\nfrom = %v\nto = %v\ncount = %d", key, half, top-half, n)
}

// atOnce is a melt whose sites all start during the jump, per mm² in a plane and per mm³ in space.
func atOnce(plane string, density float64) string {
	return sites{density, 5, 0.001}.toml(perUnit(plane))
}

// steadyMelt is a melt that nucleates at one rate from 2 K of undercooling on.
func steadyMelt(plane string, perHour float64) string {
	return fmt.Sprintf("law = \"table\"\nundercooling_K = [1, 2]\nrate_per_%s_h = [%v, %v]\n", perUnit(plane), perHour,
		perHour)
}

func perUnit(plane string) string {
	if plane == "" {
		return "mm3"
	}
	return "mm2"
}
