package main

import (
	"fmt"
	"math"
	"strings"

	"onegrain/analysis/fit"
)

// atPlace are the rows of one place.
type atPlace struct {
	unit  string
	rows  []fit.Observation
	lines []*logged
}

// placeNames are the places where strays are looked for.
func placeNames() []string { return []string{"melt", "top", "side", "bottom"} }

// strayBook is a sheet as `fit nuclei` reads it.
type strayBook struct {
	body              *grownBody // nil where none was given
	places            map[string]*atPlace
	empty, warm, full []string  // rows that were left out
	cooled            []*logged // rows whose mean liquid says nothing
	unread            bool      // whether volumes or areas were told that were not needed
}

// mostCooledK is by how much a row may cool while its mean liquid still stands for it.
const mostCooledK = 2

// take reads a row, and adds it to its place.
func (k *strayBook) take(l *logged) {
	run, before := l.cells["run"], len(l.problems)
	if !l.looked() {
		k.empty = append(k.empty, l.name())
		if k.body != nil && run != "" { // a stage all the same
			if stage, ok := l.stage(); ok {
				k.body.follow(run, "growth "+l.cells["face"], stage)
			}
		}
		return
	}
	seedMM, told := l.number("seed_mm")
	grew := !(told && seedMM == 0) // else nothing used up liquid
	place, unit, size := l.where(k, grew)
	stage, _ := l.stage()
	one := fit.Observation{Name: l.name(), Stage: stage, Size: size}
	l.outcome(&one)
	if len(l.problems) > before {
		return
	}
	var stages []fit.Stage
	if k.body != nil && grew {
		stages = k.body.follow(run, place, stage)
	}
	switch span := math.Abs(math.Max(0, stage.FromK) - math.Max(0, stage.ToK)); {
	case math.Max(stage.FromK, stage.ToK) <= leastK:
		k.warm = append(k.warm, l.name())
		return
	case stages != nil && !k.grown(l, &one, place, stages, seedMM):
		return
	case k.body == nil && grew && span > mostCooledK:
		k.cooled = append(k.cooled, l)
	}
	at := k.places[place]
	if at == nil {
		at = &atPlace{unit: unit}
		k.places[place] = at
	}
	if at.unit != unit {
		l.bad(l.line, "", "", fmt.Sprintf(twoUnits, place, at.lines[0].line), "")
		return
	}
	at.rows, at.lines = append(at.rows, one), append(at.lines, l)
}

// grown gives a sighting the liquid of the body in the last of its stages; ok is false where there
// was none.
func (k *strayBook) grown(l *logged, one *fit.Observation, place string, stages []fit.Stage, seedMM float64) (ok bool) {
	var left float64
	one.Course, left = k.body.course(place, stages, one.Stage.Hours, seedMM)
	switch seen := one.Kind != fit.Counted || one.Strays > 0; {
	case len(one.Course) > 0 && (left > 0 || one.Kind != fit.FirstStray):
		return true
	case seen:
		l.bad(l.line, "", "", fmt.Sprintf(strayInSolid, k.body.path), strayInSolidHint)
	default:
		k.full = append(k.full, l.name())
	}
	return false
}

// leftOut says which rows were left out and why, and what is wrong with rows that need the body.
func (k *strayBook) leftOut() []string {
	said := []string{}
	for _, one := range []struct {
		names []string
		text  string
	}{{k.empty, leftOutUnseen}, {k.warm, leftOutWarm}, {k.full, leftOutFull}} {
		if len(one.names) > 0 {
			said = append(said, fmt.Sprintf(one.text, few4(one.names)))
		}
	}
	if k.unread {
		said = append(said, fmt.Sprintf(liquidFromBody, k.body.path))
	}
	if len(k.cooled) > 0 {
		l := k.cooled[0]
		column, more := "volume_mm3", ""
		if l.filled("area_mm2") {
			column = "area_mm2"
		}
		if n := len(k.cooled) - 1; n > 0 {
			more = fmt.Sprintf(" (as %s)", plural(n, "more row"))
		}
		stage, _ := l.stage()
		l.wrong(column, fmt.Sprintf(meanOfCooled, course(stage), more), meanOfCooledHint)
	}
	return said
}

// looked tells whether a row says anything about strays. Where the sheet has a column of first
// strays, an empty cell says that none came, if it is said how much was liquid.
func (l *logged) looked() bool {
	for _, c := range outcomes() {
		if l.filled(c) {
			return true
		}
	}
	return (l.has("first_stray_h") || l.has("first_stray_undercooling_K")) && (l.filled("volume_mm3") || l.filled("area_mm2"))
}

// outcomes are the ways to tell strays.
func outcomes() []string {
	return []string{"strays", "stray_seen", "first_stray_undercooling_K", "first_stray_h"}
}

// where reads place and size of what was liquid. Where the body is known it is the whole of it, but
// for a row without a seed that says otherwise.
func (l *logged) where(k *strayBook, grew bool) (place, unit string, size float64) {
	place = l.choice("place")
	column := ""
	switch volume, area := l.filled("volume_mm3"), l.filled("area_mm2"); {
	case volume && area:
		l.wrong("area_mm2", oneOfBoth, "volume_mm3 is for the melt, area_mm2 for a surface or a flat body")
		return place, "", 0
	case volume:
		column = "volume_mm3"
	case area:
		if column = "area_mm2"; !l.filled("place") {
			l.wrong("place", missingCell, "top, side or bottom; melt for a flat body that is simulated in two dimensions")
		}
	case k.body == nil:
		l.wrong("volume_mm3", missingCell, "how much was liquid; or area_mm2 with place; or --body STUDY.toml")
		return place, "", 0
	}
	if place == "" {
		place = "melt"
	}
	if column != "" {
		size, _ = l.number(column)
	}
	if unit = "mm2"; column == "volume_mm3" || column == "" && place == "melt" {
		unit = "mm3"
	}
	if column == "volume_mm3" && place != "melt" {
		l.wrong("volume_mm3", "the "+place+" is a surface", "give area_mm2")
	}
	if k.body != nil {
		size = l.within(k, grew, place, column, size)
	}
	return place, unit, size
}

// within is the size of a place of the body; a size that is told must fit into it.
func (l *logged) within(k *strayBook, grew bool, place, column string, told float64) float64 {
	whole := k.body.whole[placeNumber(place)]
	switch {
	case column == "area_mm2" && place == "melt":
		l.wrong(column, fmt.Sprintf("the melt of %s has a volume", k.body.path), "leave it empty")
	case told > 1.02*whole: // cells have corners
		l.wrong(column, fmt.Sprintf(largerThanBody, k.body.path, short6(whole)), "")
	case column != "" && !grew:
		return told
	case column != "":
		k.unread = true
	}
	return whole
}

// outcome reads what was seen.
func (l *logged) outcome(one *fit.Observation) {
	var told []string
	for _, c := range outcomes() {
		if l.filled(c) {
			told = append(told, c)
		}
	}
	if len(told) > 1 {
		l.wrong(told[1], fmt.Sprintf(severalOutcomes, strings.Join(told, " and ")), "leave all but one of them empty")
		return
	}
	if len(told) == 0 { // a column of first strays, and none came
		return
	}
	switch told[0] {
	case "strays":
		n, _ := l.number("strays")
		if one.Strays = int(n); n != math.Trunc(n) {
			l.wrong("strays", "wanted a whole number", "")
		}
	case "stray_seen":
		if l.choice("stray_seen") == "yes" {
			one.Kind = fit.AtLeastOne
		}
	default:
		l.firstStray(one, told[0])
		return
	}
	if deep := math.Max(one.Stage.FromK, one.Stage.ToK); deep <= leastK && (one.Kind != fit.Counted || one.Strays > 0) {
		l.wrong(told[0], strayWarm, "")
	}
}

// firstStray cuts the stage off where the first stray came.
func (l *logged) firstStray(one *fit.Observation, column string) {
	x, ok := l.number(column)
	s := one.Stage
	if !ok || !(s.Hours > 0) {
		return
	}
	share := x / s.Hours
	if column == "first_stray_undercooling_K" {
		if s.FromK == s.ToK {
			l.wrong(column, heldFirst, "give first_stray_h")
			return
		}
		share = (x - s.FromK) / (s.ToK - s.FromK)
	}
	if !(share >= 0 && share <= 1) {
		wanted := fmt.Sprintf("wanted 0 to %s, the hours of the stage", short6(s.Hours))
		if column != "first_stray_h" {
			wanted = fmt.Sprintf("wanted an undercooling of the stage, %s", kelvins(math.Min(s.FromK, s.ToK), math.Max(s.FromK, s.ToK)))
		}
		l.wrong(column, wanted, "")
		return
	}
	one.Kind = fit.FirstStray
	one.Stage = fit.Stage{FromK: s.FromK, ToK: s.FromK + share*(s.ToK-s.FromK), Hours: share * s.Hours}
	if one.Stage.ToK <= leastK {
		l.wrong(column, strayWarm, "")
	}
}
