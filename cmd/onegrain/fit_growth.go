package main

import (
	"fmt"
	"math"
	"strings"

	"onegrain/analysis/fit"
	"onegrain/sim/kinetics"
)

// grownLength is the engine's own law, so that what is fitted is what a simulation grows with.
func grownLength(s fit.Stage, exponent float64) float64 {
	return kinetics.Length(kinetics.Power{RateAt10K: 1, Exponent: exponent}, s.FromK, s.ToK, s.Hours)
}

// faceFitted is what `fit growth` tells of one kind of face.
type faceFitted struct {
	Face  string `json:"face"`
	Block string `json:"block"` // to be pasted into a study
	*fit.GrowthFit
	lines []*logged
}

// growthFitted is all that `fit growth` tells.
type growthFitted struct {
	File     string        `json:"file"`
	Faces    []*faceFitted `json:"faces"`
	Warnings []string      `json:"warnings"` // of rows that were left out
}

func (q *fitting) growth(s streams, path string) error {
	read, err := q.read(path)
	if err != nil {
		return err
	}
	all := &growthFitted{File: path, Faces: []*faceFitted{}, Warnings: []string{}}
	runs, lines := map[string][]fit.Grown{}, map[string][]*logged{}
	var nothing, empty []string
	for _, r := range read.rows {
		l := &logged{read, r, logbook(), q.peritecticC}
		if !l.filled("grown_mm") && !l.filled("width_mm") {
			empty = append(empty, l.name())
			continue
		}
		face, mm, stage, ok := l.grown()
		switch {
		case !ok:
		case mm < leastMM:
			nothing = append(nothing, l.name())
		default:
			runs[face] = append(runs[face], fit.Grown{Name: l.name(), Stage: stage, MM: mm})
			lines[face] = append(lines[face], l)
		}
	}
	if err := read.problems.Err(); err != nil {
		return err
	}
	if len(empty) > 0 {
		all.Warnings = append(all.Warnings, fmt.Sprintf(leftOutEmpty, few4(empty)))
	}
	if len(nothing) > 0 {
		all.Warnings = append(all.Warnings, fmt.Sprintf(leftOutZero, few4(nothing)))
	}
	if len(runs) == 0 {
		return usage(fmt.Errorf("%s: %s; %s", path, nothingGrown, strings.Join(all.Warnings, "; ")))
	}
	var failed []string
	for _, face := range []string{"a", "c"} {
		if len(runs[face]) == 0 {
			continue
		}
		f, err := fit.Growth(runs[face], grownLength, q.exponent)
		if err != nil {
			failed = append(failed, q.undecided(path, face+" faces", err, "--exponent N fixes it", "material.growth_"+face+".exponent"))
			continue
		}
		done := &faceFitted{Face: face, GrowthFit: f, lines: lines[face]}
		done.Block = q.growthBlock(path, done)
		all.Faces = append(all.Faces, done)
	}
	return q.tell(s, all, all.print, failed)
}

// leastMM is a length that nobody can measure: it counts as none.
const leastMM = 1e-4

// grown reads the face of a row and how far it advanced.
func (l *logged) grown() (face string, mm float64, stage fit.Stage, ok bool) {
	before := len(l.problems)
	if face = l.choice("face"); face == "" {
		face = "a"
	}
	switch {
	case l.filled("grown_mm") && l.filled("width_mm"):
		l.wrong("width_mm", oneOfBoth, "leave grown_mm or width_mm empty")
	case l.filled("grown_mm"):
		mm, _ = l.number("grown_mm")
	case face == "c":
		l.wrong("width_mm", widthOfC, "give grown_mm, the depth grown")
	default:
		mm = l.halfWidth()
	}
	stage, _ = l.stage()
	if len(l.problems) == before && mm > 0 && math.Max(stage.FromK, stage.ToK) <= leastK {
		l.bad(l.line, "", "", grownWarm, "")
	}
	return face, mm, stage, len(l.problems) == before
}

// halfWidth is half of what a grain is wider than its seed.
func (l *logged) halfWidth() float64 {
	width, _ := l.number("width_mm")
	seed, given := l.number("seed_mm")
	switch {
	case !given && !l.filled("seed_mm"):
		l.wrong("seed_mm", missingCell, "a face has advanced (width_mm − seed_mm)/2; without a seed it is 0")
	case given && width < seed:
		l.wrong("width_mm", fmt.Sprintf("less than seed_mm = %s", short6(seed)), "a grain does not become narrower than its seed")
	}
	return (width - seed) / 2
}

// growthBlock is the law as a study takes it.
func (q *fitting) growthBlock(path string, f *faceFitted) string {
	var b strings.Builder
	fmt.Fprintf(&b, "# onegrain fit growth %s: %s faces, %s, %s\n", path, f.Face, plural(len(f.Rows), "run"), kelvins(f.LowK, f.HighK))
	exponent := "exponent " + interval(f.Exponent)
	if f.Given {
		exponent = "exponent given"
	}
	if f.Freedom < 1 {
		b.WriteString("# no intervals: as many runs as constants\n")
	} else {
		fmt.Fprintf(&b, "# 95 %% intervals: rate_at_10K_mm_per_h %s, %s\n", interval(f.Rate), exponent)
		if !f.Given && math.Abs(f.MiddleK-10) > 0.5 {
			fmt.Fprintf(&b, "# best known at %.1f K: %s mm/h, interval %s\n", f.MiddleK, digits4(float64(f.Middle.Value)), interval(f.Middle))
		}
		fmt.Fprintf(&b, "# scatter of a run about the law: %s %%\n", digits2(float64(f.ScatterPercent)))
	}
	b.WriteString(q.reference())
	fmt.Fprintf(&b, "[material.growth_%s]\nlaw = \"power\"\nrate_at_10K_mm_per_h = %s\nexponent = %s\n", f.Face, digits4(float64(f.Rate.Value)), digits4(float64(f.Exponent.Value)))
	return b.String()
}

func (g *growthFitted) print(s streams) error {
	for i, f := range g.Faces {
		t := &grid{head: []string{"line", "run", "undercooling K", "hours", "grown mm", "law mm", "off by %", "off by its error", "note"}}
		for k, r := range f.Rows {
			l := f.lines[k]
			t.add(fmt.Sprint(l.line), l.cells["run"], course(r.Stage), short6(r.Stage.Hours), digits3(r.GrownMM), digits3(float64(r.FittedMM)),
				signed(float64(r.ResidualPercent), 1), signed(float64(r.Studentised), 1), l.cells["note"])
		}
		if err := tellFit(s, i, f.Face+" faces", f.Block, t, f.Warnings); err != nil {
			return err
		}
	}
	for _, w := range g.Warnings {
		s.say("%s", folded("warning: "+w, "  "))
	}
	return nil
}
