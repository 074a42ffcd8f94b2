package plan

import (
	"strings"
	"testing"
)

// TestRead: what a row says, what empty cells stand for, and what is wrong.
func TestRead(t *testing.T) {
	all, err := Read("a.csv", []byte("run;start_undercooling_K;end_undercooling_K;hours;seed_mm;pieces\n"+
		"deep;24,5;;10;;\n;12;22;20,5;0;10\nseeded;8;6;1;2;\n"))
	want := []Run{{"deep", 24.5, 24.5, 10, false, 1}, {"line 3", 12, 22, 20.5, true, 10}, {"seeded", 8, 6, 1, false, 1}}
	if err != nil || len(all) != len(want) {
		t.Fatalf("%+v, %v", all, err)
	}
	for i := range want {
		if all[i] != want[i] {
			t.Errorf("row %d: %+v, wanted %+v", i+1, all[i], want[i])
		}
	}
	for text, says := range map[string]string{
		"run,start_undercooling_K,hours\na,-3,10\n":                              "start_undercooling_K",
		"run,start_undercooling_K,hours\na,20,\n":                                "hours",
		"run,start_undercooling_K,hours,x\na,2,1,1":                              "x",
		"run,start_undercooling_K,hours\n":                                       "no",
		"run,start_undercooling_K,hours\n" + strings.Repeat("a,20,10\n", most+1): "wanted at most 100",
	} {
		if _, err := Read("a.csv", []byte(text)); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%.60q: %v", text, err)
		}
	}
}
