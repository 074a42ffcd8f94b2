package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
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
	_, remarked, _ := fitSheet(t, []byte("# a remark\n"+plainSheet)) // rows are named by their lines
	if _, out, told := fitSheet(t, []byte("sep=;\r\n"+european)); out != remarked || remarked == want {
		t.Errorf("a line about the separator: %s%s", out, told)
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

// Numbers at and beyond the ends of what a furnace does must end in a law or in an error that ends with 2, never in an internal one.
func TestWildNumbersAreTold(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	pick := func(x ...string) string { return x[r.IntN(len(x))] }
	undercooling := func() string {
		return pick("-500", "-5", "0", "1e-300", "0.001", "0.02", "1", "5", "10", "12", "15", "20", "20", "22", "100", "500")
	}
	path := filepath.Join(t.TempDir(), "wild.csv")
	codes := map[int]int{}
	for range 120 {
		var b strings.Builder
		b.WriteString("undercooling_K,start_undercooling_K,end_undercooling_K,hours,grown_mm,volume_mm3,strays,stray_seen,first_stray_h\n")
		for range 1 + r.IntN(8) {
			course := undercooling() + ",,"
			if r.IntN(2) == 0 {
				course = "," + undercooling() + "," + undercooling()
			}
			fmt.Fprintf(&b, "%s,%s,%s,%s,%s\n", course, pick("0.001", "0.5", "20", "20", "1000", "100000"), pick("0", "1e-300", "0.1", "1", "2", "5", "1000"),
				pick("1e-6", "1", "1000", "4900", "1e12"), pick("0,,", "0,,", "1,,", "3,,", "1000000,,", ",yes,", ",no,", ",,0", ",,0.0005", ",,"))
		}
		if err := os.WriteFile(path, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
		for _, args := range [][]string{{"growth"}, {"growth", "--exponent", "0"}, {"nuclei", "--peritectic", "1010"}, {"nuclei", "--peritectic", "1010", "--barrier", pick("1", "1.12e7", "1e15")}} {
			var o, e bytes.Buffer
			code := execute(append(append([]string{"fit"}, args...), path, "--json"), streams{out: &o, err: &e})
			codes[code]++
			if code != exitDone && code != exitUsage || code == exitDone && !json.Valid(o.Bytes()) {
				t.Errorf("%v: exit code %d\n%s\n%s", args, code, b.String(), e.String())
			}
		}
	}
	if codes[exitDone] < 15 || codes[exitUsage] < 15 {
		t.Errorf("codes %v: these numbers try too little", codes)
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
