package logbook_test

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"math"
	"strings"
	"testing"

	"onegrain/analysis/fit"
	"onegrain/analysis/logbook"
)

const plainSheet = "run,undercooling_K,hours,grown_mm,note\nA,8,20,1.75,\nB,12.5,20,4.1,slow\nC,16,20,6.55,\n"

// lengths reads the rows of a file of these bytes that say how far faces have grown, without notes.
func lengths(data []byte) (rows []logbook.Length, err error) {
	s, err := logbook.Read("runs.csv", data)
	if err != nil {
		return nil, err
	}
	rows, _ = s.Lengths(math.NaN())
	for i := range rows {
		rows[i].Note = ""
	}
	return rows, s.Err()
}

// What spreadsheets and people make of a sheet must give the same rows; what cannot be a sheet is
// refused with what to do.
func TestSheetsInTheWaysSpreadsheetsWriteThem(t *testing.T) {
	plain, err := lengths([]byte(plainSheet))
	if err != nil || len(plain) != 3 {
		t.Fatalf("%v, %v", plain, err)
	}
	want := fmt.Sprintf("%+v", plain)
	european := strings.NewReplacer(",", ";", ".", ",").Replace(plainSheet)
	quoted := strings.NewReplacer("12.5", `"12.5"`, "slow", `"slow"`).Replace(plainSheet)
	for what, text := range map[string]string{
		"CRLF":                       strings.ReplaceAll(plainSheet, "\n", "\r\n"),
		"CR alone":                   strings.ReplaceAll(plainSheet, "\n", "\r"),
		"byte order mark":            "\ufeff" + plainSheet,
		"semicolons, decimal commas": "\ufeff" + strings.ReplaceAll(european, "\n", "\r\n"),
		"semicolons, decimal points": strings.ReplaceAll(plainSheet, ",", ";"),
		"tabs":                       strings.ReplaceAll(plainSheet, ",", "\t"),
		"tabs, decimal commas":       strings.ReplaceAll(european, ";", "\t"),
		"spaces":                     strings.ReplaceAll(plainSheet, ",", " , "),
		"quotes":                     quoted,
		"empty cells at the end":     strings.ReplaceAll(plainSheet, "\n", ",,\n") + ",,,,,,\n",
		"no line end":                strings.TrimSuffix(plainSheet, "\n"),
		"short lines":                strings.ReplaceAll(plainSheet, ",\n", "\n"),
		"Latin 1":                    strings.ReplaceAll(plainSheet, "slow", "tr\xe4ge"),
	} {
		rows, err := lengths([]byte(text))
		if got := fmt.Sprintf("%+v", rows); err != nil || got != want {
			t.Errorf("%s: %v, %s", what, err, got)
		}
	}
	remarked, _ := lengths([]byte("# a remark\n" + plainSheet)) // rows are named by their lines
	rows, err := lengths([]byte("sep=;\r\n" + european))
	if fmt.Sprint(rows) != fmt.Sprint(remarked) || remarked[0].Number != plain[0].Number+1 {
		t.Errorf("a line about the separator: %v, %v", rows, err)
	}
	if rows, _ := lengths([]byte(strings.Replace(plainSheet, "12.5", "12.6", 1))); fmt.Sprintf("%+v", rows) == want {
		t.Error("the canary passes: other numbers give the same rows")
	}
}

func TestWhatIsNoSheetIsRefused(t *testing.T) {
	const head = "undercooling_K,hours,grown_mm\n"
	for what, c := range map[string][2]string{
		"workbook": {"PK\x03\x04\x14\x00",
			`runs.csv: this is a workbook of a spreadsheet, not a CSV file; save it as "CSV UTF-8"`},
		"UTF-16": {"\xff\xfer\x00u\x00n\x00", "this text is UTF-16, not UTF-8"},
		"binary": {"run\x00", "this is no text"},
		"empty":  {"", "empty: wanted a head line"},
		"decimal commas": {head + "12,5,20,4,1\n",
			"runs.csv:2: 5 cells, but the head line has 3; commas separate the cells here"},
		"quoted decimal comma": {head + "\"12,5\",20,4\n", "runs.csv:2: undercooling_K = \"12,5\": " +
			"wanted a number from -500 to 500 (K); commas separate the cells here"},
		"thousands": {"undercooling_K;hours;grown_mm\n12;1.200,5;4\n", `hours = "1.200,5": wanted a number`},
		"a cell without a column": {"undercooling_K,,hours,grown_mm\n12,7,20,4\n",
			`runs.csv:2: column 2 = "7": this column has no name in the head line`},
		"capitals": {"Undercooling_K,hours,grown_mm\n12,20,4\n", "did you mean undercooling_K?"},
	} {
		if _, err := lengths([]byte(c[0])); err == nil || !strings.Contains(err.Error(), c[1]) {
			t.Errorf("%s: %v, want %q", what, err, c[1])
		}
	}
}

// The rows of strays are plain values: each with its unit, its stage and what was seen in it.
func TestRowsOfStrays(t *testing.T) {
	text := "run,start_C,end_C,hours,place,volume_mm3,area_mm2,seed_mm,strays,stray_seen,first_stray_h,note\n" +
		"A,1000,990,20,,3000,,0,,,5,first\nB,995,995,12,side,,300,,2,,,\nC,995,994,12,melt,2000,,2,,yes,,\n" +
		"D,1020,1015,9,,2000,,0,0,,,\nE,995,995,9,,,,,,,,\n"
	s, err := logbook.Read("runs.csv", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	rows, sentences := s.Strays(1010, nil)
	want := []logbook.Strays{
		{Line: logbook.Line{Number: 2, Run: "A", Note: "first"}, Place: "melt", Unit: "mm3", Size: 3000,
			Stage: logbook.Stage{FromK: 10, ToK: 12.5, Hours: 5}, Seen: logbook.FirstStray},
		{Line: logbook.Line{Number: 3, Run: "B"}, Place: "side", Unit: "mm2", Size: 300, Count: 2,
			Stage: logbook.Stage{FromK: 15, ToK: 15, Hours: 12}},
		{Line: logbook.Line{Number: 4, Run: "C"}, Place: "melt", Unit: "mm3", Size: 2000, Seen: logbook.AtLeastOne,
			Stage: logbook.Stage{FromK: 15, ToK: 16, Hours: 12}},
	}
	if err := s.Err(); err != nil || fmt.Sprintf("%+v", rows) != fmt.Sprintf("%+v", want) {
		t.Errorf("%v, %+v", err, rows)
	}
	said := strings.Join(sentences, "\n")
	if !strings.Contains(said, "none came): line 6 (E)") || !strings.Contains(said, "not undercooled: line 5 (D)") {
		t.Error(said)
	}
}

// The rows of lengths: a width says how far each of two faces has grown.
func TestRowsOfLengths(t *testing.T) {
	text := "run,undercooling_K,hours,grown_mm,width_mm,seed_mm,face\n" +
		"A,12,20,,9,2,\nB,12,20,5.1,,,c\nC,12,20,,2,2,a\nD,12,20,,,,\n"
	s, err := logbook.Read("runs.csv", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	rows, sentences := s.Lengths(math.NaN())
	held := logbook.Stage{FromK: 12, ToK: 12, Hours: 20}
	want := []logbook.Length{{Line: logbook.Line{Number: 2, Run: "A"}, Face: "a", Stage: held, GrownMM: 3.5},
		{Line: logbook.Line{Number: 3, Run: "B"}, Face: "c", Stage: held, GrownMM: 5.1}}
	if err := s.Err(); err != nil || fmt.Sprintf("%+v", rows) != fmt.Sprintf("%+v", want) {
		t.Errorf("%v, %+v", err, rows)
	}
	if said := strings.Join(sentences, "\n"); !strings.Contains(said, "nor width_mm: line 5 (D)") ||
		!strings.Contains(said, "nothing has grown: line 4 (C)") {
		t.Error(said)
	}
}

// FuzzSheet: whatever stands in a file, there are rows within their limits and a law that JSON can
// tell, or an error that says something.
func FuzzSheet(f *testing.F) {
	f.Add([]byte(plainSheet))
	f.Add([]byte("start_C;end_C;hours;width_mm;seed_mm\n1000;990;20;7,5;2\n"))
	f.Add([]byte("undercooling_K,hours,grown_mm,face\n1e-300,1e-300,1e-300,a\n500,100000,1000,a\n-500,1,1,c\n"))
	f.Add([]byte("undercooling_K,hours,grown_mm\n5,1,1e-9\n500,1,1000\n6,1,1000\n"))
	f.Add([]byte("temperature_C,hours,area_mm2,place,strays,first_stray_h\n990,20,5,top,1,\n990,20,5,top,,3\n"))
	f.Add([]byte("\"a\nb"))
	grown := func(s logbook.Stage, exponent float64) float64 {
		low, high := s.Reach()
		return s.Hours * math.Pow((low+max(0, high))/20, exponent)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := logbook.Read("runs.csv", data)
		if err != nil {
			if strings.TrimSpace(err.Error()) == "" {
				t.Error("an error that says nothing")
			}
			return
		}
		rows, _ := s.Lengths(1010)
		strays, _ := s.Strays(1010, nil)
		if s.Err() != nil {
			return
		}
		runs, furnaces, _ := s.Runs(puck(), func(string) ([]byte, error) { return nil, fs.ErrNotExist })
		for _, r := range runs {
			if p := r.Programme; s.Err() == nil && (p.Knots[0].UndercoolingK > 0 || math.IsInf(p.GrowthStartH(), 1) ||
				len(r.Saw) == 0 || r.Furnace >= len(furnaces)) {
				t.Errorf("%+v", r)
			}
		}
		for _, r := range rows {
			if !(r.GrownMM > 0 && r.GrownMM <= 1000 && r.Stage.Hours > 0) || r.Face != "a" && r.Face != "c" {
				t.Errorf("%+v", r)
			}
		}
		for _, r := range strays {
			if _, high := r.Stage.Reach(); !(r.Size > 0 && r.Count >= 0 && high > 0) || r.Place == "" || r.Unit == "" {
				t.Errorf("%+v", r)
			}
		}
		if law, err := fit.Growth(rows, grown, math.NaN()); err == nil {
			if text, err := json.Marshal(law); err != nil || !json.Valid(text) {
				t.Errorf("%v: %s", err, text)
			}
		} else if err.Error() == "" {
			t.Error("an error that says nothing")
		}
	})
}
