package main

import (
	"fmt"
	"math"
	"strings"

	"onegrain/analysis/fit"
	"onegrain/studies/strict"
)

// logbook are the columns of a sheet of furnace runs. One sheet may serve both fits: each leaves alone what belongs to the other.
func logbook() strict.Schema {
	from, kelvin, celsius := strict.Between, strict.Between(-500, 500), strict.Between(0, 2000)
	return strict.Schema{
		strict.Text("run", "name of the run"),
		strict.Text("note", "whatever should be remembered"),
		strict.Number("hours", from(0.001, 100000), "length of the stage").In("h"),
		strict.Number("undercooling_K", kelvin, "held at this undercooling"),
		strict.Number("start_undercooling_K", kelvin, "cooled evenly from this undercooling"),
		strict.Number("end_undercooling_K", kelvin, "to this one"),
		strict.Number("temperature_C", celsius, "held at this temperature"),
		strict.Number("start_C", celsius, "cooled evenly from this temperature"),
		strict.Number("end_C", celsius, "to this one"),
		strict.Number("grown_mm", from(0, 1000), "how far one face advanced"),
		strict.Number("width_mm", from(0, 1000), "width of the grain along a"),
		strict.Number("seed_mm", from(0, 1000), "width of its seed"),
		strict.Text("face", "which face grew", "a", "c"),
		strict.Number("volume_mm3", from(1e-6, 1e12), "liquid"),
		strict.Number("area_mm2", from(1e-6, 1e12), "wetted surface"),
		strict.Text("place", "where strays were looked for", "melt", "top", "side", "bottom"),
		strict.Number("strays", from(0, 1000000), "strays counted"),
		strict.Text("stray_seen", "whether there was any", "yes", "no"),
		strict.Number("first_stray_undercooling_K", kelvin, "undercooling at which the first one came"),
		strict.Number("first_stray_h", from(0, 100000), "hours from the start of the stage until then"),
	}
}

// leastK is an undercooling that no furnace can hold: nothing happens at less.
const leastK = 0.01

// logged is one row of a sheet that is being read.
type logged struct {
	*sheet
	sheetRow
	known       strict.Schema
	peritecticC float64 // NaN where it was not given
}

func (l *logged) number(column string) (x float64, given bool) {
	f, _ := l.known.Field(column)
	return l.sheet.number(l.sheetRow, f)
}

func (l *logged) choice(column string) string {
	f, _ := l.known.Field(column)
	return l.sheet.choice(l.sheetRow, f)
}

func (l *logged) filled(column string) bool { return l.cells[column] != "" }

// wrong tells what is wrong with a cell, or with one that is missing.
func (l *logged) wrong(column, wanted, hint string) {
	l.bad(l.line, column, l.cells[column], wanted, hint)
}

// name is what sentences call a row.
func (l *logged) name() string {
	if run := l.cells["run"]; run != "" {
		return fmt.Sprintf("line %d (%s)", l.line, run)
	}
	return fmt.Sprintf("line %d", l.line)
}

// courses are the ways to tell the undercooling of a stage: from and to.
func courses() [][2]string {
	return [][2]string{{"undercooling_K", "undercooling_K"}, {"start_undercooling_K", "end_undercooling_K"}, {"temperature_C", "temperature_C"}, {"start_C", "end_C"}}
}

// stage reads hours and undercoolings; ok is false where something was wrong, which is then told.
func (l *logged) stage() (s fit.Stage, ok bool) {
	before := len(l.problems)
	hours, given := l.number("hours")
	if !given && !l.filled("hours") {
		l.wrong("hours", missingCell, "")
	}
	s.Hours = hours
	var ways [][2]string
	for _, c := range courses() {
		if l.filled(c[0]) || l.filled(c[1]) {
			ways = append(ways, c)
		}
	}
	switch len(ways) {
	case 0:
		l.wrong("undercooling_K", missingCell, otherCourses)
	case 1:
		s.FromK, s.ToK = l.course(ways[0])
	default:
		var all []string
		for _, w := range ways {
			all = append(all, w[0])
		}
		l.bad(l.line, "", "", fmt.Sprintf(severalCourses, strings.Join(all, " and ")), "leave all but one of them empty")
	}
	return s, len(l.problems) == before
}

// course reads both ends of a stage, and turns temperatures into undercoolings.
func (l *logged) course(way [2]string) (from, to float64) {
	var ends [2]float64
	for i, column := range way {
		if i == 1 && way[0] == way[1] {
			ends[1] = ends[0]
			continue
		}
		x, given := l.number(column)
		if !given && !l.filled(column) {
			l.wrong(column, missingCell, fmt.Sprintf("it belongs to %s", way[1-i]))
		}
		ends[i] = x
	}
	if strings.HasSuffix(way[0], "_C") {
		if math.IsNaN(l.peritecticC) {
			l.wrong(way[0], needsPeritectic, "--peritectic C, or --base NAME for a row of `onegrain materials`")
			return 0, 0
		}
		return l.peritecticC - ends[0], l.peritecticC - ends[1]
	}
	return ends[0], ends[1]
}
