package grains

import (
	"fmt"
	"strings"
)

// scene writes a study in which everything is scaled to cells and steady rates: it jumps to 10 K and stays there.
type scene struct {
	body          string  // lines of [body]
	rateA, rateC  float64 // mm/h
	seeds         []pose
	melt          string // lines of [nucleation.melt]; none if empty
	kind          string // of [nucleation.orientation]; random if empty
	replicates    int
	seed          int
	holdH         float64
	stages        string // instead of the jump and the hold
	growth        string // lines of [material] instead of the steady rates
	more          string // further tables
	history, keep bool
}

// pose is where a seed lies.
type pose struct{ x, y, size, turnDeg float64 }

func (s scene) text() string {
	var b strings.Builder
	say := func(format string, values ...any) { fmt.Fprintf(&b, format+"\n", values...) }
	say("[random]\nseed = %d\nreplicates = %d\n[material]\nperitectic_C = 1000", 20261125+s.seed, max(1, s.replicates))
	if s.growth != "" {
		say("%s", s.growth)
	} else {
		say("growth_a = {law = \"power\", rate_at_10K_mm_per_h = %v, exponent = 1}", s.rateA)
		say("growth_c = {law = \"power\", rate_at_10K_mm_per_h = %v, exponent = 1}", s.rateC)
	}
	say("[body]\n%s", s.body)
	for _, p := range s.seeds {
		say("[[seed]]\nat_mm = [%v, %v]\nsize_mm = [%v, %v]\nturn_deg = %v", p.x, p.y, p.size, p.size, p.turnDeg)
	}
	stages := s.stages
	if stages == "" {
		stages = fmt.Sprintf("%s[[schedule.stage]]\nhold_h = %v", jumpTo(10), s.holdH)
	}
	say("[schedule]\nstart_C = 1001\n%s", stages)
	if s.kind != "" {
		say("[nucleation.orientation]\nkind = %q", s.kind)
	}
	if s.melt == "" {
		s.melt = "law = \"none\""
	}
	say("[nucleation.melt]\n%s\n[keep]\nhistory = %v\nfields = %q\n%s", s.melt, s.history, map[bool]string{true: "all", false: "none"}[s.keep], s.more)
	return b.String()
}

// jumpTo is a stage that takes hundredths of a second.
func jumpTo(undercoolingK float64) string {
	return fmt.Sprintf("[[schedule.stage]]\nto_undercooling_K = %v\nrate_K_per_h = 100000\n", undercoolingK)
}

// block is the body of a block of cells: two sizes in a plane ("ab", "ac"), three in space ("").
func block(plane string, cellMM float64, periodic bool, sizeMM ...float64) string {
	b := fmt.Sprintf("shape = \"block\"\ncell_mm = %v\nperiodic = %v\nsize_mm = %s", cellMM, periodic, list(sizeMM))
	if plane != "" {
		b += fmt.Sprintf("\nplane = %q", plane)
	}
	return b
}

func list[T any](values []T) string {
	words := make([]string, len(values))
	for i, v := range values {
		words[i] = fmt.Sprint(v)
	}
	return "[" + strings.Join(words, ", ") + "]"
}

// atOnce is a melt whose sites all start during the jump, per mm² in a plane and per mm³ in space.
func atOnce(plane string, density float64) string {
	return fmt.Sprintf("law = \"sites\"\nmean_undercooling_K = 5\nspread_K = 0.001\ndensity_per_%s = %v", perUnit(plane), density)
}

// steady is a melt that nucleates at one rate from 2 K of undercooling on.
func steady(plane string, perHour float64) string {
	return fmt.Sprintf("law = \"table\"\nundercooling_K = [1, 2]\nrate_per_%s_h = [%v, %v]", perUnit(plane), perHour, perHour)
}

func perUnit(plane string) string {
	if plane == "" {
		return "mm3"
	}
	return "mm2"
}
