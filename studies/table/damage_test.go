package table

import (
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"path"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"onegrain/studies/disk"
	"onegrain/studies/disk/trial"
)

// hurtDisk is a disk on which one file is not as it was written.
type hurtDisk struct {
	disk.Disk
	path string
	data []byte
}

func (h hurtDisk) ReadFile(path string) ([]byte, error) {
	if path == h.path {
		return h.data, nil
	}
	return h.Disk.ReadFile(path)
}

// specimen is a folder with one file of each kind.
type specimen struct {
	name  string
	disk  *trial.Memory
	files []string // that can be damaged so that it must be noticed
	whole map[string][]byte
}

// specimens are a sealed folder, a merged one, and one whose command was killed before it could
// write a manifest.
func specimens(t *testing.T) []*specimen {
	t.Helper()
	var all []*specimen
	for _, name := range []string{"sealed", "merged", "killed"} {
		s := &specimen{name: name, disk: trial.NewMemory(), whole: map[string][]byte{}}
		h := newSaga(7, s.disk)
		d := &trial.Failing{Disk: s.disk, Fail: func(_ int, op, path string) error {
			if name == "killed" && op == "rename" && strings.HasSuffix(path, "cases.parquet") {
				return errDark
			}
			return nil
		}}
		for h.failures == 0 || len(h.fields) == 0 {
			if err := h.command(d, 2); err != nil && !errors.Is(err, errDark) {
				t.Fatal(err)
			}
		}
		if name == "merged" {
			if err := h.command(d, 0); err != nil {
				t.Fatal(err)
			}
		}
		s.gather(t, "out/r")
		all = append(all, s)
	}
	return all
}

func (s *specimen) gather(t *testing.T, dir string) {
	for _, e := range must[[]fs.DirEntry](t)(s.disk.ReadDir(dir)) {
		file := path.Join(dir, e.Name())
		switch {
		case e.IsDir():
			s.gather(t, file)
		case disk.Unfinished(file):
		// no manifest proves them yet
		case s.name == "killed" && (strings.HasSuffix(file, ".vti") || strings.HasSuffix(file, ".jsonl")):
		default:
			s.files = append(s.files, file)
			s.whole[file] = must[[]byte](t)(s.disk.ReadFile(file))
		}
	}
}

// notice wants damage to be found by audit, and never to be read as if it were sound.
func (s *specimen) notice(file string, data []byte) error {
	f, err := Open("out/r", hurtDisk{s.disk, file, data})
	if err != nil {
		return err
	}
	a, err := f.Audit(nil)
	if err != nil {
		return err
	}
	if len(a.Damage) == 0 {
		return errors.New("audit finds nothing")
	}
	for _, d := range a.Damage {
		if d.File == "" || d.Why == "" || d.Next == "" {
			return fmt.Errorf("damage %+v does not say all", d)
		}
	}
	if !strings.HasSuffix(file, ending) {
		return nil
	}
	table := strings.TrimSuffix(path.Base(file), ending)
	if folder := path.Base(path.Dir(file)); folder != "r" {
		table = folder
	}
	var c *Corrupt
	if _, err := f.Table(table); !errors.As(err, &c) {
		return fmt.Errorf("reading ends with %v", err)
	}
	return nil
}

// hurtAll tries n damages, which make gives by number, on two goroutines.
func hurtAll(t *testing.T, n int, make func(i int) (s *specimen, file string, data []byte)) {
	t.Helper()
	var next atomic.Int64
	var group sync.WaitGroup
	for range 2 {
		group.Go(func() {
			for i := int(next.Add(1)) - 1; i < n && !t.Failed(); i = int(next.Add(1)) - 1 {
				s, file, data := make(i)
				if err := s.notice(file, data); err != nil {
					t.Errorf("damage %d, %s of the %s folder: %v", i, file, s.name, err)
				}
				if trial.Stage(i, n) {
					t.Logf("%d of %d", i, n)
				}
			}
		})
	}
	group.Wait()
}

func TestSpecimensAreSound(t *testing.T) {
	for _, s := range specimens(t) {
		for _, file := range s.files {
			if err := s.notice(file, s.whole[file]); err == nil || err.Error() != "audit finds nothing" {
				t.Errorf("%s, nothing changed in %s: %v", s.name, file, err)
			}
		}
		if len(s.files) < 4 {
			t.Errorf("%s: only %v", s.name, s.files)
		}
	}
}

// Every file cut at every byte (in the short form at every 251st).
func TestEveryTruncationIsNoticed(t *testing.T) {
	type cut struct {
		s    *specimen
		file string
		at   int
	}
	step := trial.Amount(251, 1, 1)
	var all []cut
	for _, s := range specimens(t) {
		for _, file := range s.files {
			for at := 0; at < len(s.whole[file]); at += step {
				all = append(all, cut{s, file, at})
			}
		}
	}
	hurtAll(t, len(all), func(i int) (*specimen, string, []byte) {
		c := all[i]
		return c.s, c.file, c.s.whole[c.file][:c.at]
	})
	t.Logf("%d truncations", len(all))
}

func TestEveryBitFlipIsNoticed(t *testing.T) {
	all := specimens(t)
	n := trial.Amount(100, 20_000, 1_000_000)
	hurtAll(t, n, func(i int) (*specimen, string, []byte) {
		r := rand.New(rand.NewPCG(uint64(i), 43))
		s := all[r.IntN(len(all))]
		file := s.files[r.IntN(len(s.files))]
		return s, file, flipped(s.whole[file], r)
	})
	t.Logf("%d bit flips", n)
}

// A file that is gone is noticed too, with a manifest and without.
func TestEveryMissingFileIsNoticed(t *testing.T) {
	for _, s := range specimens(t) {
		for _, file := range s.files {
			base := path.Base(file)
			if base == studyName || base == manifestName || strings.Contains(file, "/versions/") ||
				strings.HasPrefix(base, "provenance") || s.name == "killed" && strings.Contains(file, "/runs/") {
				continue // without its study it is no results folder, the others only prove; nobody knows yet of that part
			}
			d := s.disk.PowerLoss(rand.New(rand.NewPCG(1, 1))) // a copy: all is synced
			if err := d.Remove(file); err != nil {
				t.Fatal(err)
			}
			a := must[*Audit](t)(must[*Folder](t)(Open("out/r", d)).Audit(nil))
			if len(a.Damage) == 0 {
				t.Errorf("%s: %s is gone, and audit finds nothing", s.name, file)
			}
		}
	}
}
