package logbook_test

import (
	"fmt"
	"io/fs"
	"math"
	"strings"
	"testing"

	"onegrain/analysis/belief/facts"
	"onegrain/analysis/logbook"
	"onegrain/sim/furnace"
)

// puck is the body of the tests: 24 × 8 mm, a seed of 2 mm.
func puck() logbook.Made {
	return logbook.Made{Name: "puck.toml", PeritecticC: 1010, WholeMM3: 3617, RimMM: 11, DepthMM: 8, SeedMM: 2}
}

// wholeRuns reads the whole runs of a text, with controllers' records beside it.
func wholeRuns(text string, beside map[string]string) (runs []facts.Run, furnaces []string, said string, err error) {
	s, err := logbook.Read("runs.csv", []byte(text))
	if err != nil {
		return nil, nil, "", err
	}
	runs, furnaces, sentences := s.Runs(puck(), func(name string) ([]byte, error) {
		if file, ok := beside[name]; ok {
			return []byte(file), nil
		}
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	})
	return runs, furnaces, strings.Join(sentences, "\n"), s.Err()
}

// knots writes a programme as hours:undercooling.
func knots(p furnace.Programme) string {
	var all []string
	for _, k := range p.Knots {
		all = append(all, fmt.Sprintf("%.5g:%.5g", k.TimeH, k.UndercoolingK))
	}
	return strings.Join(all, " ")
}

// The programme of a run: a row that begins undercooled is a jump from molten at its first hour,
// one that begins molten is as it stands; rows of one name are stages behind each other.
func TestRowsOfOneRunAreItsStages(t *testing.T) {
	runs, furnaces, said, err := wholeRuns(`run,start_undercooling_K,end_undercooling_K,hours,width_mm,seed_mm,strays
A,10,10,20,7.4,2,0
B,-24,16,40,,,0
C,8,12,10,,,
D,9,9,5,6,2,
C,12,20,30,14,2,3
`, nil)
	if err != nil || said != "" || fmt.Sprint(furnaces) != "[own]" || len(runs) != 4 {
		t.Fatalf("%v, %s, %v, %d runs", err, said, furnaces, len(runs))
	}
	for i, want := range []string{
		"A 0:0 0:10 20:10 [{2 0 20 0 0 2.7 2}]",
		"B 0:-24 40:16 []",
		"C 0:0 0:8 10:12 40:20 [{2 0 40 0 0 6 6}]",
		"D 0:0 0:9 5:9 [{2 0 5 0 0 2 5}]",
	} {
		r, grown := runs[i], []facts.Fact{}
		for _, f := range r.Saw {
			if f.Kind == facts.GrownA {
				grown = append(grown, f)
			}
		}
		if got := fmt.Sprint(r.Name, " ", knots(r.Programme), " ", grown); got != want {
			t.Errorf("%s\nwanted\n%s", got, want)
		}
	}
	want := facts.Fact{Kind: facts.Strays, ToH: 40, Least: 3, Most: 3, Line: 6}
	if got := runs[2].Saw[0]; got != want {
		t.Errorf("strays of the whole run: %+v", got)
	}
}

// What rows say becomes facts at hours of the programme.
func TestWhatWasSeen(t *testing.T) {
	const head = "run,start_undercooling_K,end_undercooling_K,hours,width_mm,seed_mm,grown_mm,face,full,strays," +
		"stray_seen,first_stray_undercooling_K,first_stray_h,seen_clean_until_h,volume_mm3,place,furnace,clear_diameter_mm\n"
	const stage = "A,10,20,10,"
	for row, want := range map[string]string{
		stage + ",,,,,0":                           "strays 0–10: 0 to 0",
		stage + ",,,,,40":                          "strays 0–10: 40 to 40",
		stage + ",,,,,,yes":                        "strays 0–10: 1 or more",
		stage + ",,,,,,no":                         "strays 0–10: 0 to 0",
		stage + ",,,,,,,15":                        "first stray 5",
		stage + ",,,,,,,,7":                        "first stray 7",
		stage + ",,,,,,yes,,,6":                    "strays 0–6: 0 to 0; strays 6–10: 1 or more",
		stage + ",,,,,,,,,6":                       "strays 0–6: 0 to 0",
		stage + "9,2":                              "a grown 3.5 at 10",
		stage + "9":                                "a grown 3.5 at 10", // the seed is that of the study
		stage + ",,5.1,c":                          "c grown 5.1 at 10",
		stage + "24,2,,,yes,0":                     "strays 0–10: 0 to 0; a reached 11 at 10",
		stage + ",,,,yes":                          "a reached 11 at 10",
		stage + ",,,,no":                           "a short of 11 at 10",
		stage + "9,2,,,no":                         "a grown 3.5 at 10",
		stage + "24":                               "a reached 11 at 10; said: it is as wide as the body",
		stage + ",,8,c,,0":                         "strays 0–10: 0 to 0; said: left out, as it is as deep",
		stage + ",0,,,,2":                          "strays 0–10: 2 to 2; liquid 3617",
		stage + ",0,,,,2,,,,,500":                  "strays 0–10: 2 to 2; liquid 500",
		stage + ",2,,,,2,,,,,500":                  "strays 0–10: 2 to 2; said: volume_mm3 was not read",
		stage + ",,,,,2,,,,,,side\nB,9,9,9,,,,,,0": "strays 0–9: 0 to 0; said: left out, as strays on a surface",
		stage + "9,3":                              "a grown 3 at 10; said: seed_mm is read for widths alone",
		stage + "9,2,,,,,,,,,,,,7":                 "a grown 3.5 at 10; said: clear_diameter_mm is not learnt from",
		"A,10,20,10,,,,,,0\nA,20,22,6,,,,,,2":      "strays 0–10: 0 to 0; strays 10–16: 2 to 2",
		"A,10,20,10,9\nA,10,20,10,,,5,c\nA,10,20,10,,,,,,1": "a grown 3.5 at 10; c grown 5 at 10; strays 0–10: 1 to 1",
		"A,10,20,10,9\nA,10,20,10,12":                       "a grown 3.5 at 10; a grown 5 at 20",
	} {
		runs, _, said, err := wholeRuns(head+row+"\n", nil)
		got := strings.Join(written(runs), "; ")
		if said != "" {
			got += "; said: " + said
		}
		if err != nil || !strings.HasPrefix(got, want) || said == "" && got != want {
			t.Errorf("%s\n%v: %s\nwanted %s", row, err, got, want)
		}
	}
}

// written are the facts of runs in words.
func written(runs []facts.Run) (all []string) {
	for _, r := range runs {
		for _, f := range r.Saw {
			text := fmt.Sprintf("strays %v–%v: %d to %d", f.FromH, f.ToH, f.Least, f.Most)
			switch {
			case f.Kind == facts.Strays && f.Most == facts.Any:
				text = fmt.Sprintf("strays %v–%v: %d or more", f.FromH, f.ToH, f.Least)
			case f.Kind == facts.FirstStray:
				text = fmt.Sprintf("first stray %v", f.ToH)
			case f.Kind != facts.Strays:
				what := map[facts.Kind]string{facts.GrownA: "a grown", facts.GrownC: "c grown", facts.ReachedA: "a reached",
					facts.ShortOfA: "a short of"}[f.Kind]
				text = fmt.Sprintf("%s %v at %v", what, f.MM, f.ToH)
			}
			all = append(all, text)
		}
		if r.LiquidMM3 > 0 {
			all = append(all, fmt.Sprintf("liquid %v", r.LiquidMM3))
		}
	}
	return all
}

// A controller's record takes the place of the stages: what comes before the body is molten does
// not count, and hours are those of the record.
func TestARunByItsRecord(t *testing.T) {
	var b strings.Builder
	b.WriteString("time_h;temperature_C\n")
	for i := range 1201 {
		h := float64(i) / 20
		c := map[bool]float64{true: 25 + 102*h, false: math.Max(985, 1045-(h-10)*2)}[h < 10]
		b.WriteString(strings.ReplaceAll(fmt.Sprintf("%.3f;%.3f\n", h, c+0.03*math.Sin(37*h)), ".", ","))
	}
	runs, _, said, err := wholeRuns("run,log,strays,first_stray_h,width_mm\nA,run-17.csv,,35.5,\nB,run-17.csv,0,,9\n",
		map[string]string{"run-17.csv": b.String()})
	if err != nil || len(runs) != 2 || !strings.HasPrefix(said, "run-17.csv: 1201 readings as ") {
		t.Fatalf("%v, %v, %s", err, runs, said)
	}
	p := runs[0].Programme
	if k := p.Knots; len(k) > 12 || k[0].UndercoolingK != 0 || math.Abs(k[0].TimeH-9.657) > 0.01 ||
		math.Abs(p.Undercooling(30)-5) > 0.2 || p.EndH() != 60 {
		t.Errorf("%s", knots(p))
	}
	if got := strings.Join(written(runs), "; "); got != "first stray 35.5; strays 0–60: 0 to 0; a grown 3.5 at 60" {
		t.Error(got)
	}
	never := "time_h,temperature_C\n0,1000\n10,990\n" // it begins when the body was molten already
	if runs, _, _, err = wholeRuns("run,log,strays\nA,a.csv,0\n", map[string]string{"a.csv": never}); err != nil ||
		knots(runs[0].Programme) != "0:0 0:10 10:20" {
		t.Errorf("%v, %v", err, runs)
	}
}

func TestFurnacesAreInTheOrderOfTheirRows(t *testing.T) {
	runs, furnaces, _, err := wholeRuns("run,furnace,undercooling_K,hours,strays\nA,north,12,9,0\nB,hall "+
		"2,12,9,0\nC,north,13,9,0\n"+
		"D,,13,9,0\n", nil)
	if err != nil || fmt.Sprint(furnaces) != "[north hall 2 own]" || runs[1].Furnace != 1 || runs[2].Furnace != 0 {
		t.Errorf("%v, %v, %+v", err, furnaces, runs)
	}
}

func TestRunsThatCannotBe(t *testing.T) {
	beside := map[string]string{"cut.csv": "time_h,temperature_C\n1,1000\n",
		"a.csv": "time_h,temperature_C\n0,1000\n9,990\n"}
	for _, c := range [][2]string{
		{"run,undercooling_K,hours,width_mm,seed_mm\nA,12,20,40,2\n",
			"runs.csv:2: 19 mm grown by the a faces, but in " +
				"puck.toml they are at the end after 11; is it that body"},
		{"undercooling_K,hours,width_mm,full\n12,20,9,yes\n",
			"full = \"yes\": by its width the grain has grown 3.5 mm of 11"},
		{"undercooling_K,hours,strays,seen_clean_until_h\n9,5,1,6\n",
			"wanted 0 to 5, the hours of the stage"},
		{"undercooling_K,hours,first_stray_h,seen_clean_until_h\n9,5,1,3\n",
			"runs.csv:2: first_stray_h = \"1\": the first stray " +
				"came 2 h before seen_clean_until_h"},
		{"undercooling_K,hours,strays,volume_mm3,seed_mm\n9,5,1,4600,0\n",
			"volume_mm3 = \"4600\": more than the whole body of puck.toml"},
		{"run,undercooling_K,hours,strays,seed_mm\nA,9,5,1,0\nA,9,5,1,2\n",
			"runs.csv:3: seed_mm = \"2\": another row of the run A"},
		{"undercooling_K,hours,seed_mm,full\n9,5,0,yes\n",
			"without a seed nothing grows"},
		{"run,furnace,undercooling_K,hours,strays\nA,another,12,9,0\n",
			`wanted a short name without quotes, and not "another"`},
		{"run,furnace,undercooling_K,hours,strays\nA,x,12,9,0\nA,y,12,9,0\n",
			"the run began in the furnace x"},
		{"log,strays\nnone.csv,0\n",
			"log = \"none.csv\": cannot be read: file does not exist; it stands beside runs.csv"},
		{"log,strays\ncut.csv,0\n",
			"log = \"cut.csv\": cut.csv: one hour alone"},
		{"log,hours,strays\na.csv,9,0\n",
			"hours = \"9\": the controller's record tells it"},
		{"log,first_stray_undercooling_K\na.csv,15\n",
			"a record does not say when that was"},
		{"run,start_undercooling_K,end_undercooling_K,hours,strays\nA,9,12,5,0\nA,12,-20,5,0\n",
			"runs.csv:2: the run A goes 20 K above"},
	} {
		if _, _, _, err := wholeRuns(c[0], beside); err == nil || !strings.Contains(err.Error(), c[1]) {
			t.Errorf("%s%v\nwanted %s", c[0], err, c[1])
		}
	}
	_, _, said, err := wholeRuns("undercooling_K,hours,strays\n-5,9,0\n12,9,\n", nil)
	if err != nil || said != "left out, as it was not undercooled: line 2\n"+
		"left out, as nothing was seen that laws can be learnt from: line 3" {
		t.Errorf("%v, %s", err, said)
	}
}
