package table

import (
	"errors"
	"strings"
	"syscall"
	"testing"
	"time"

	"onegrain/studies/column"
	"onegrain/studies/disk/trial"
)

// asks opens the folder r for a study, drawn as its last word says.
func asks(on *trial.Failing, study, shard string) (*Folder, error) {
	draws := func(text []byte) string { return string(text[strings.LastIndexByte(string(text), ' ')+1:]) }
	return Create("r", []byte(study), draws, Provenance{Version: "1", ModelVersion: "m", Shard: shard, Command: study,
		Start: time.Unix(1, 0)}, on)
}

// Who gets a folder, and what the others are told; also on a disk without second names for a file.
func TestWhoHasAFolder(t *testing.T) {
	for name, lame := range map[string]error{"links": nil, "no links": syscall.EPERM} {
		m := trial.NewMemory()
		d := &trial.Failing{Disk: m, Fail: func(_ int, op, _ string) error {
			if op == "link" {
				return lame
			}
			return nil
		}}
		for i, c := range []struct{ study, shard, refused string }{
			{"a seed7", "", ""}, {"a seed7", "1/2", ""}, {"b seed8", "",
				"holds runs drawn with seed7, and this study asks for seed8"},
			{"c seed7", "1/2", ""}, {"c seed7", "2/2", ""}, {"a seed7", "2/2",
				"has been given to a newer version of the study since"},
			{"a seed7", "", ""}, {"a seed7", "2/2", ""}, {"c seed7", "1/2", "newer version"},
		} {
			f, err := asks(d, c.study, c.shard)
			var taken *Taken
			if c.refused == "" && err != nil || c.refused != "" && (!errors.As(err, &taken) ||
				!strings.Contains(err.Error(), c.refused)) {
				t.Fatalf("%s, %d: %v, wanted %q", name, i, err, c.refused)
			}
			if now := must[Version](t)(must[*Folder](t)(Open("r", m)).Version()); c.refused == "" &&
				(now.Study != c.study || f.held() != nil) {
				t.Errorf("%s, %d: the folder holds %q: %v", name, i, now.Study, f.held())
			}
		}
	}
}

// Another command takes the new folder before any operation of this one: one of the two has it,
// never both.
func TestANewFolderHasOneOwner(t *testing.T) {
	for at := 1; ; at++ {
		m := trial.NewMemory()
		calm := &trial.Failing{Disk: m, Fail: func(int, string, string) error { return nil }}
		var first error
		n := 0
		f, second := asks(&trial.Failing{Disk: m, Fail: func(int, string, string) error {
			if n++; n == at {
				_, first = asks(calm, "b seed8", "")
			}
			return nil
		}}, "a seed7", "")
		if n < at {
			if at < 20 {
				t.Errorf("only %d operations", n)
			}
			return
		}
		var taken *Taken
		held := second == nil && f.held() == nil
		if !errors.As(first, &taken) && !errors.As(second, &taken) || first != nil && second != nil ||
			held != (first != nil) {
			t.Errorf("before operation %d: %v and %v, held: %v", at, first, second, held)
		}
	}
}

// A command whose folder is given to another version adds nothing to it any more, and says so.
func TestALateCommandAddsNothing(t *testing.T) {
	m := trial.NewMemory()
	d := &trial.Failing{Disk: m, Fail: func(int, string, string) error { return nil }}
	late := must[*Folder](t)(asks(d, "a seed7", ""))
	must[string](t)(late.Add(filled(t, "grains", 2)))
	must[*Folder](t)(asks(d, "c seed7", ""))
	var taken *Taken
	if _, err := late.Add(filled(t, "runs", 2)); !errors.As(err, &taken) ||
		!strings.Contains(err.Error(), "r was taken for another version of the study while this command was at work") {
		t.Errorf("a part: %v", err)
	}
	for what, err := range map[string]error{"cases": late.Put(filled(t, "cases", 1)), "failure": late.Fail(Failure{}),
		"volume": late.AddVolume("a-1.vti", nil)} {
		if !errors.As(err, &taken) {
			t.Errorf("%s: %v", what, err)
		}
	}
	for _, table := range column.Tables() {
		if files := must[[]string](t)(must[*Folder](t)(Open("r", m)).files(table)); len(files) > 0 {
			t.Errorf("%v were left there", files)
		}
	}
}

// A folder of a program that kept no versions and wrote no draws: its parts count where the text of
// their study is known, and move to earlier results where it is not.
func TestPartsThatTellNoDraws(t *testing.T) {
	for text, counts := range map[string]bool{"a seed7": true, "lost seed7": false} {
		m := trial.NewMemory()
		d := &trial.Failing{Disk: m, Fail: func(int, string, string) error { return nil }}
		old := must[*Folder](t)(Create("r", []byte("a seed7"), undrawn, Provenance{ModelVersion: "m"}, d))
		old.meta[keyStudy] = sum([]byte(text))
		must[string](t)(old.Add(filled(t, "grains", 3)))
		must[string](t)(old.Add(filled(t, "runs", 3)))
		if err := m.Remove("r/versions/000001.json"); err != nil {
			t.Fatal(err)
		}
		f := must[*Folder](t)(asks(d, "a seed7, and more of it seed7", ""))
		runs, _, moved, err := f.Recall(func(string) bool { return true })
		if err != nil || (runs.Len() == 3) != counts || (moved.Runs == 0) != counts {
			t.Errorf("%s: %d runs, %+v, %v", text, runs.Len(), moved, err)
		}
		if counts {
			continue
		}
		earlier := must[*Folder](t)(Open("r/"+moved.To[0], m))
		if a := must[*Audit](t)(earlier.Audit(nil)); len(a.Damage) > 0 || must[*Frame](t)(earlier.Done()).Len() != 3 ||
			string(must[[]byte](t)(earlier.Study())) != "a seed7" {
			t.Errorf("%+v in %v", a, moved.To)
		}
	}
}
