package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const plainSheet = "run,undercooling_K,hours,grown_mm,note\nA,8,20,1.75,\nB,12.5,20,4.1,slow\nC,16,20,6.55,\n"

// fitSheet fits a file of these bytes and gives exit code, JSON (without the path) and messages.
func fitSheet(t testing.TB, data []byte) (code int, out, told string) {
	path := filepath.Join(t.TempDir(), "runs.csv")
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
	var o, e bytes.Buffer
	code = execute([]string{"fit", "growth", path, "--json"}, streams{out: &o, err: &e})
	return code, strings.ReplaceAll(o.String(), path, "runs.csv"), strings.ReplaceAll(e.String(), path, "runs.csv")
}

// What spreadsheets and people make of a sheet must give the same law; what cannot be a sheet is refused with what to do.
func TestSheetsInTheWaysSpreadsheetsWriteThem(t *testing.T) {
	_, want, _ := fitSheet(t, []byte(plainSheet))
	european := strings.NewReplacer(",", ";", ".", ",").Replace(plainSheet)
	for what, text := range map[string]string{
		"CRLF":                       strings.ReplaceAll(plainSheet, "\n", "\r\n"),
		"CR alone":                   strings.ReplaceAll(plainSheet, "\n", "\r"),
		"byte order mark":            "\ufeff" + plainSheet,
		"semicolons, decimal commas": "\ufeff" + strings.ReplaceAll(european, "\n", "\r\n"),
		"semicolons, decimal points": strings.ReplaceAll(plainSheet, ",", ";"),
		"tabs":                       strings.ReplaceAll(plainSheet, ",", "\t"),
		"tabs, decimal commas":       strings.ReplaceAll(european, ";", "\t"),
		"spaces":                     strings.ReplaceAll(plainSheet, ",", " , "),
		"quotes":                     strings.ReplaceAll(strings.ReplaceAll(plainSheet, "12.5", `"12.5"`), "slow", `"slow"`),
		"empty cells at the end":     strings.ReplaceAll(plainSheet, "\n", ",,\n") + ",,,,,,\n",
		"no line end":                strings.TrimSuffix(plainSheet, "\n"),
		"short lines":                strings.ReplaceAll(plainSheet, ",\n", "\n"),
		"Latin 1":                    strings.ReplaceAll(plainSheet, "slow", "tr\xe4ge"),
	} {
		code, out, told := fitSheet(t, []byte(text))
		if code != exitDone || out != want {
			t.Errorf("%s: exit code %d, %s%s", what, code, out, told)
		}
	}
	for what, c := range map[string][2]string{
		"workbook":                {"PK\x03\x04\x14\x00", `runs.csv: this is a workbook of a spreadsheet, not a CSV file; save it as "CSV UTF-8"`},
		"UTF-16":                  {"\xff\xfer\x00u\x00n\x00", "this text is UTF-16, not UTF-8"},
		"binary":                  {"run\x00", "this is no text"},
		"empty":                   {"", "empty: wanted a head line"},
		"decimal commas":          {"undercooling_K,hours,grown_mm\n12,5,20,4,1\n", "runs.csv:2: 5 cells, but the head line has 3; a comma stands between cells here"},
		"quoted decimal comma":    {"undercooling_K,hours,grown_mm\n\"12,5\",20,4\n", "runs.csv:2: undercooling_K = \"12,5\": wanted a number from -500 to 500 (K); a comma stands between cells here"},
		"thousands":               {"undercooling_K;hours;grown_mm\n12;1.200,5;4\n", `hours = "1.200,5": wanted a number`},
		"a cell without a column": {"undercooling_K,,hours,grown_mm\n12,7,20,4\n", `runs.csv:2: column 2 = "7": this column has no name in the head line`},
		"capitals":                {"Undercooling_K,hours,grown_mm\n12,20,4\n", "did you mean undercooling_K?"},
	} {
		code, out, told := fitSheet(t, []byte(c[0]))
		if code != exitUsage || out != "" || !strings.Contains(told, c[1]) {
			t.Errorf("%s: exit code %d, %s%s, want %q", what, code, out, told, c[1])
		}
	}
	if code, out, _ := fitSheet(t, []byte(strings.Replace(plainSheet, "12.5", "12.6", 1))); code != exitDone || out == want {
		t.Error("the canary passes: other numbers give the same law")
	}
}

// FuzzSheet: whatever stands in a file, there is a law that JSON can tell, or an error that says something and ends with 2.
func FuzzSheet(f *testing.F) {
	f.Add([]byte(plainSheet))
	f.Add([]byte("start_C;end_C;hours;width_mm;seed_mm\n1000;990;20;7,5;2\n"))
	f.Add([]byte("undercooling_K,hours,grown_mm,face\n1e-300,1e-300,1e-300,a\n500,100000,1000,a\n-500,1,1,c\n"))
	f.Add([]byte("undercooling_K,hours,grown_mm\n5,1,1e-9\n500,1,1000\n6,1,1000\n"))
	f.Add([]byte("\"a\nb"))
	f.Fuzz(func(t *testing.T, data []byte) {
		code, out, told := fitSheet(t, data)
		switch {
		case code == exitDone && json.Valid([]byte(out)):
		case code == exitUsage && strings.TrimSpace(told) != "":
		default:
			t.Errorf("exit code %d, %q, %q", code, out, told)
		}
	})
}
