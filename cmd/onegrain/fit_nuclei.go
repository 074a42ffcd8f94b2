package main

import (
	"fmt"
	"math"
	"strings"

	"onegrain/analysis/fit"
	"onegrain/sim/nucleation/rate"
)

// kelvinAt0C turns °C into kelvin.
const kelvinAt0C = 273.15

// barrierLaw is the engine's own law.
func barrierLaw(peritecticC float64) fit.Barrier {
	t := peritecticC + kelvinAt0C
	return fit.Barrier{PeritecticK: t, Expected: func(s fit.Stage, prefactor, barrierK3 float64) float64 {
		return rate.Barrier{PrefactorPerUnitH: prefactor, BarrierK3: barrierK3, PeritecticK: t}.Expected(s.FromK, s.ToK, s.Hours, 0)
	}}
}

// placeFitted is what `fit nuclei` tells of one place.
type placeFitted struct {
	Place string `json:"place"`
	Unit  string `json:"unit"`  // mm3 or mm2
	Block string `json:"block"` // to be pasted into a study; remarks alone where there is no law
	*fit.NucleiFit
	lines []*logged
}

// nucleiFitted is all that `fit nuclei` tells.
type nucleiFitted struct {
	File     string         `json:"file"`
	Places   []*placeFitted `json:"places"`
	Warnings []string       `json:"warnings"` // of rows that were left out
}

// atPlace are the rows of one place.
type atPlace struct {
	unit  string
	rows  []fit.Sighting
	lines []*logged
}

func (q *fitting) nuclei(s streams, path string) error {
	if math.IsNaN(q.peritecticC) {
		return usage(fmt.Errorf("%s", lawNeedsPeritectic))
	}
	read, err := q.read(path)
	if err != nil {
		return err
	}
	all := &nucleiFitted{File: path, Places: []*placeFitted{}, Warnings: []string{}}
	places := map[string]*atPlace{}
	var empty, warm []string
	for _, r := range read.rows {
		l := &logged{read, r, logbook(), q.peritecticC}
		if !l.looked() {
			empty = append(empty, l.name())
		} else if !l.sighted(places) {
			warm = append(warm, l.name())
		}
	}
	if err := read.problems.Err(); err != nil {
		return err
	}
	if len(empty) > 0 {
		all.Warnings = append(all.Warnings, fmt.Sprintf(leftOutEmpty, few4(empty), "nothing about strays"))
	}
	if len(warm) > 0 {
		all.Warnings = append(all.Warnings, fmt.Sprintf(leftOutWarm, few4(warm)))
	}
	if len(places) == 0 {
		return usage(fmt.Errorf("%s: %s", path, nothingLooked))
	}
	var failed []string
	for _, place := range []string{"melt", "top", "side", "bottom"} {
		if places[place] == nil {
			continue
		}
		f, err := fit.Nuclei(places[place].rows, barrierLaw(q.peritecticC), q.barrier)
		if err != nil {
			failed = append(failed, q.undecided(path, place, err, "--barrier K3 fixes the barrier", "nucleation.melt.barrier_K3"))
			continue
		}
		done := &placeFitted{Place: place, Unit: places[place].unit, NucleiFit: f, lines: places[place].lines}
		done.Block = q.nucleiBlock(path, done)
		all.Places = append(all.Places, done)
	}
	return q.tell(s, all, all.print, failed)
}

// looked tells whether a row says anything about strays. Where the sheet has a column of first strays, an empty cell says that none came, if it is said
// how much was liquid.
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

// sighted adds a row to its place; undercooled is false where it says nothing, since nothing could have come.
func (l *logged) sighted(places map[string]*atPlace) (undercooled bool) {
	before := len(l.problems)
	place, unit, size := l.where()
	stage, _ := l.stage()
	one := fit.Sighting{Name: l.name(), Stage: stage, Size: size}
	l.outcome(&one)
	if len(l.problems) > before {
		return true
	}
	if math.Max(stage.FromK, stage.ToK) <= leastK {
		return false
	}
	at := places[place]
	if at == nil {
		at = &atPlace{unit: unit}
		places[place] = at
	}
	if at.unit != unit {
		l.bad(l.line, "", "", fmt.Sprintf(twoUnits, place, at.lines[0].line), "")
		return true
	}
	at.rows, at.lines = append(at.rows, one), append(at.lines, l)
	return true
}

// where reads place and size of what was liquid.
func (l *logged) where() (place, unit string, size float64) {
	place = l.choice("place")
	volume, area := l.filled("volume_mm3"), l.filled("area_mm2")
	switch {
	case volume && area:
		l.wrong("area_mm2", oneOfBoth, "volume_mm3 is for the melt, area_mm2 for a surface or a flat body")
	case volume:
		if size, _ = l.number("volume_mm3"); place == "" {
			place = "melt"
		} else if place != "melt" {
			l.wrong("volume_mm3", "the "+place+" is a surface", "give area_mm2")
		}
		return place, "mm3", size
	case area:
		if size, _ = l.number("area_mm2"); !l.filled("place") {
			l.wrong("place", missingCell, "top, side or bottom; melt for a flat body that is simulated in two dimensions")
		}
		return place, "mm2", size
	default:
		l.wrong("volume_mm3", missingCell, "how much was liquid; or area_mm2 with place")
	}
	return place, "", size
}

// outcome reads what was seen.
func (l *logged) outcome(one *fit.Sighting) {
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
			one.What = fit.Some
		}
	default:
		l.firstStray(one, told[0])
		return
	}
	if deep := math.Max(one.Stage.FromK, one.Stage.ToK); deep <= leastK && (one.What != fit.Counted || one.Strays > 0) {
		l.wrong(told[0], strayWarm, "")
	}
}

// firstStray cuts the stage off where the first stray came.
func (l *logged) firstStray(one *fit.Sighting, column string) {
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
	one.What = fit.First
	one.Stage = fit.Stage{FromK: s.FromK, ToK: s.FromK + share*(s.ToK-s.FromK), Hours: share * s.Hours}
	if one.Stage.ToK <= leastK {
		l.wrong(column, strayWarm, "")
	}
}
