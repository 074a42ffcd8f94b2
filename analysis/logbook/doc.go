// Package logbook reads furnace runs as people keep them: a CSV file with one row a run, or a stage
// of one. It gives plain values with their units, and says everything that is wrong with the file.
//
//  1. [Read] takes what spreadsheets write (package studies/sheet).
//  2. [Sheet.Lengths] are the rows that say how far a face has grown (lengths.go), [Sheet.Strays]
//     those that say what was seen of strays (strays.go). Each leaves the other's columns alone, so
//     one file serves both. Temperatures become undercoolings (stage.go). [Sheet.Runs] are whole
//     runs with all that was seen of them: rows of one run are its stages (runs.go, seen.go).
//  3. Rows that say nothing, or nothing that could be used, are left out with a sentence. What
//     cannot be is noted with file, line, column, value, what was wanted and the next move;
//     [Sheet.Err] is all of it at once.
//
// Where the [Body] of the runs is known, it says what was liquid when strays could come.
package logbook

import (
	"fmt"
	"slices"
	"strings"

	"onegrain/studies/sheet"
	"onegrain/studies/strict"
)

// Sheet is a table of furnace runs, and everything that is wrong with it.
type Sheet struct{ *sheet.Sheet }

// Read reads the text of a CSV file whose columns bear the names of a logbook; file is what errors
// call it. What is wrong with single rows is noted for Err.
func Read(file string, data []byte) (*Sheet, error) {
	s, err := sheet.Read(file, data, sheet.Kind{Columns: columns(), ARow: "furnace run",
		Help: "`onegrain fit laws --help` lists them; text goes into run and note"})
	if err != nil {
		return nil, err
	}
	return &Sheet{s}, nil
}

// recorded are the rows that leave their stage to a controller's record, which only Runs reads.
func (s *Sheet) recorded() (names []string) {
	for _, r := range s.rows() {
		if r.recorded() {
			names = append(names, r.at().Name())
		}
	}
	return names
}

const onlyRuns = "a controller's record gives their undercooling, which `onegrain fit laws` reads: %s"

func (s *Sheet) rows() []row {
	all := make([]row, len(s.Rows))
	for i, r := range s.Rows {
		all[i] = row{r}
	}
	return all
}

// columns are those of a sheet, in the order of the help.
func columns() strict.Schema {
	between, kelvin, celsius := strict.Between, strict.Between(-500, 500), strict.Between(0, 2000)
	return strict.Schema{
		strict.Number("hours", between(0.001, 100000), "length of the stage").In("h"),
		strict.Number("undercooling_K", kelvin, "held at this undercooling"),
		strict.Number("start_undercooling_K", kelvin, "cooled evenly from this undercooling"),
		strict.Number("end_undercooling_K", kelvin, "to this one"),
		strict.Number("temperature_C", celsius, "held at this temperature"),
		strict.Number("start_C", celsius, "cooled evenly from this temperature"),
		strict.Number("end_C", celsius, "to this one"),
		strict.Number("grown_mm", between(0, 1000), "how far one face advanced"),
		strict.Number("width_mm", between(0, 1000), "width of the grain along a"),
		strict.Number("strays", between(0, 1000000), "strays counted"),
		strict.Text("stray_seen", "whether there was any stray", "yes", "no"),
		strict.Number("first_stray_undercooling_K", kelvin, "undercooling at which the first one came"),
		strict.Number("first_stray_h", between(0, 100000), "hours from the start of the stage until then"),
		strict.Text("place", "where strays were looked for", Places()...),
		strict.Number("volume_mm3", between(1e-6, 1e12), "liquid"),
		strict.Number("area_mm2", between(1e-6, 1e12), "wetted surface"),
		strict.Number("seed_mm", between(0, 1000), "width of its seed"),
		strict.Text("face", "which face grew", "a", "c"),
		strict.Text("full", "whether the grain had reached the rim of the body", "yes", "no"),
		strict.Number("seen_clean_until_h", between(0, 100000),
			"hours from the start of the stage at which no stray was there yet").In("h"),
		strict.Number("clear_diameter_mm", between(0, 1000), "largest disc without a stray"),
		strict.Text("log", "file beside this one in place of undercoolings and hours: the controller's record"),
		strict.Text("furnace", "name of the furnace, where there are several"),
		strict.Text("run", "name of the run"),
		strict.Text("note", "any remark"),
	}
}

// Places are where strays are looked for.
func Places() []string { return []string{"melt", "top", "side", "bottom"} }

// outcomes are the columns that say what was seen of strays.
func outcomes() []string {
	return []string{"strays", "stray_seen", "first_stray_undercooling_K", "first_stray_h"}
}

// Columns lists the columns that a fit of growth (Lengths), nuclei (Strays) or laws (Runs) reads,
// one a line, for a page of help.
func Columns(law string) string {
	without := []string{"full", "seen_clean_until_h", "clear_diameter_mm", "log", "furnace"}
	switch law {
	case "growth":
		without = append(without, append(outcomes(), "place", "volume_mm3", "area_mm2")...)
	case "nuclei":
		without = append(without, "grown_mm", "width_mm", "face")
	default:
		without = []string{"place", "area_mm2"}
	}
	var lines []string
	for _, f := range columns() {
		if slices.Contains(without, f.Key) {
			continue
		}
		text := fmt.Sprintf("  %-27s %s", f.Key, f.Means)
		if len(f.Choices) > 0 {
			text += " (" + strings.Join(f.Choices, ", ") + ")"
		}
		lines = append(lines, text)
	}
	return strings.Join(lines, "\n")
}
