package disk_test

import (
	"errors"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"onegrain/studies/disk"
	"onegrain/studies/disk/trial"
)

func text(s string) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := io.WriteString(w, s)
		return err
	}
}

// disks are the machine's own and the one in memory, which must behave alike.
func disks(t *testing.T) map[string]struct {
	disk.Disk
	dir string
} {
	type place = struct {
		disk.Disk
		dir string
	}
	return map[string]place{"real": {disk.Real(), t.TempDir()}, "memory": {trial.NewMemory(), "."}}
}

func TestDisksBehaveAlike(t *testing.T) {
	for name, d := range disks(t) {
		t.Run(name, func(t *testing.T) {
			at := func(p string) string { return filepath.Join(d.dir, p) }
			wants := func(what string, err, want error) {
				t.Helper()
				if !errors.Is(err, want) || (want == nil) != (err == nil) {
					t.Errorf("%s: %v, wanted %v", what, err, want)
				}
				var path *fs.PathError
				var link *os.LinkError
				if err != nil && !errors.As(err, &path) && !errors.As(err, &link) {
					t.Errorf("%s: error of type %T", what, err)
				}
			}
			wants("folders", disk.MkdirAll(d, at("a/b/c")), nil)
			wants("folders again", disk.MkdirAll(d, at("a/b/c")), nil)
			wants("folder", d.Mkdir(at("a/b")), fs.ErrExist)
			wants("folder in none", d.Mkdir(at("x/y")), fs.ErrNotExist)
			wants("publish", disk.Publish(d, at("a/f"), text("one")), nil)
			wants("publish over it", disk.Publish(d, at("a/f"), text("two")), nil)
			data, err := d.ReadFile(at("a/f"))
			wants("read", err, nil)
			if string(data) != "two" {
				t.Errorf("read %q", data)
			}
			_, err = d.ReadFile(at("a/g"))
			wants("read nothing", err, fs.ErrNotExist)
			_, err = d.ReadFile(at("a/b"))
			wants("read a folder", err, syscall.EISDIR)
			_, err = d.ReadDir(at("a/f"))
			wants("list a file", err, syscall.ENOTDIR)
			_, err = d.Stat(at("a/f/g"))
			wants("below a file", err, syscall.ENOTDIR)
			_, err = d.Create(at("a/f"))
			wants("create what is there", err, fs.ErrExist)
			for _, part := range []string{"x", "y"} {
				f, err := d.Append(at("a/log"))
				wants("append", err, nil)
				_, err = io.WriteString(f, part)
				wants("write", errors.Join(err, f.Sync(), f.Close()), nil)
			}
			if data, _ := d.ReadFile(at("a/log")); string(data) != "xy" {
				t.Errorf("appended %q", data)
			}
			wants("remove a full folder", d.Remove(at("a")), syscall.ENOTEMPTY)
			wants("remove", d.Remove(at("a/log")), nil)
			wants("remove nothing", d.Remove(at("a/log")), fs.ErrNotExist)
			wants("rename nothing", d.Rename(at("a/log"), at("a/l")), fs.ErrNotExist)
			list, err := d.ReadDir(at("a"))
			wants("list", err, nil)
			var names []string
			for _, e := range list {
				info, err := e.Info()
				if err != nil || info.IsDir() != e.IsDir() {
					t.Errorf("%s: %v", e.Name(), err)
				}
				names = append(names, e.Name())
			}
			if strings.Join(names, " ") != "b f" {
				t.Errorf("listed %v", names)
			}
			wants("a file in the way", disk.Publish(d, at("a/f/g"), text("")), syscall.ENOTDIR)
			wants("a folder in the way", disk.Publish(d, at("a/b"), text("")), fs.ErrExist)
			if err := disk.MkdirAll(d, at("a/f")); err == nil || !strings.Contains(err.Error(), "in the way") {
				t.Errorf("folder over a file: %v", err)
			}
		})
	}
}

// Whatever operation fails, the old file is whole, nothing unfinished is left but where removing it
// fails, and the error says what failed.
func TestPublishOnAFailingDisk(t *testing.T) {
	for at := 1; ; at++ {
		m := trial.NewMemory()
		if err := disk.Publish(m, "f", text("old")); err != nil {
			t.Fatal(err)
		}
		d := &trial.Failing{Disk: m, Fail: func(n int, _, _ string) error {
			if n == at {
				return syscall.ENOSPC
			}
			return nil
		}}
		err := disk.Publish(d, "f", text("new"))
		data, _ := m.ReadFile("f")
		list, _ := m.ReadDir(".")
		if d.Count() < at {
			if err != nil || at < 7 {
				t.Errorf("%d operations, %v", d.Count(), err)
			}
			return
		}
		if !errors.Is(err, syscall.ENOSPC) || string(data) != "old" && !strings.Contains(err.Error(), "sync folder") ||
			len(list) != 1 {
			t.Errorf("operation %d fails: %v, %q, %d files", at, err, data, len(list))
		}
	}
}

// After a power cut a published file is there, old or new but whole, and new for certain once
// Publish has returned. The canary: a disk that never syncs must break this.
func TestPublishAndPowerLoss(t *testing.T) {
	broken := func(lazyFiles, lazyFolders bool) (bad int) {
		for seed := range uint64(300) {
			r := rand.New(rand.NewPCG(seed, 1))
			m := trial.NewMemory()
			_ = disk.Publish(m, "f", text("old"))
			m.LazyFiles, m.LazyFolders = lazyFiles, lazyFolders
			cut := 1 + r.IntN(9)
			err := disk.Publish(&trial.Failing{Disk: m, Fail: func(n int, _, _ string) error {
				if n >= cut {
					return syscall.EIO
				}
				return nil
			}}, "f", text("new"))
			data, _ := m.PowerLoss(r).ReadFile("f")
			if string(data) != "new" && (err == nil || string(data) != "old") {
				bad++
			}
		}
		return bad
	}
	if n := broken(false, false); n > 0 {
		t.Errorf("%d of 300 files are broken or lost", n)
	}
	if broken(true, false) == 0 || broken(false, true) == 0 {
		t.Error("canary: a disk that never syncs is not noticed")
	}
}

// The same source gives the same disk.
func TestPowerLossCanBePlayedAgain(t *testing.T) {
	m := trial.NewMemory()
	for _, name := range []string{"a", "b", "c", "d"} {
		f, _ := m.Create(name)
		_, _ = io.WriteString(f, strings.Repeat(name, 40))
	}
	seen := map[string]bool{}
	for seed := range uint64(60) {
		var found [2]string
		for i := range found {
			after := m.PowerLoss(rand.New(rand.NewPCG(seed, 2)))
			list, _ := after.ReadDir(".")
			for _, e := range list {
				data, _ := after.ReadFile(e.Name())
				found[i] += e.Name() + string(data) + "|"
			}
		}
		if found[0] != found[1] {
			t.Fatalf("source %d: %q and %q", seed, found[0], found[1])
		}
		seen[found[0]] = true
	}
	if len(seen) < 20 {
		t.Errorf("only %d different disks after 60 power cuts", len(seen))
	}
}

func TestUnfinishedFilesAreKnownByName(t *testing.T) {
	if !disk.Unfinished("runs/.unfinished-x1") || disk.Unfinished("runs/part-1.parquet") {
		t.Error("names")
	}
}
