package table

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"syscall"
)

// places are the results folder, as far as it is there, and those of the versions that were before.
func (h *saga) places() (all []*Folder, err error) {
	dirs := []string{"out/r"}
	list, err := h.disk.ReadDir("out/r/earlier")
	for _, e := range list {
		dirs = append(dirs, "out/r/earlier/"+e.Name())
	}
	if errors.Is(err, fs.ErrNotExist) || errors.Is(err, syscall.ENOTDIR) {
		err = nil
	}
	for _, dir := range dirs {
		f, opened := Open(dir, h.disk)
		var none absent
		if errors.As(opened, &none) {
			continue // a command was cut off before its study was there, and before anything was moved
		}
		if all, err = append(all, f), errors.Join(err, opened); err != nil {
			return nil, err
		}
	}
	return all, err
}

// look proves that nothing acknowledged is lost, and nothing told that is not so.
func (h *saga) look(thorough bool) error {
	places, err := h.places()
	if err != nil || len(places) == 0 && len(h.acked)+h.failures+len(h.fields) == 0 {
		return err
	}
	found := map[runKey]error{}
	for _, f := range places {
		done, err := f.Done()
		if err != nil {
			return err
		}
		grains, err := f.Table("grains")
		if err != nil {
			return err
		}
		for key := range h.acked {
			if err := errors.Join(holds(done, "runs", key), holds(grains, "grains", key)); found[key] == nil && err != nil {
				found[key] = err
			} else if err == nil {
				found[key] = errHeld
			}
		}
		if done.Len() > historyCases*historyReplicates*(1+h.version) {
			return fmt.Errorf("%d runs, some told twice", done.Len())
		}
	}
	for key, err := range found {
		if err != errHeld {
			return fmt.Errorf("run %v in none of %d places: %w", key, len(places), err)
		}
	}
	if err := h.lookAside(); err != nil || !thorough {
		return err
	}
	for _, f := range places {
		a, err := f.Audit(nil)
		if err != nil {
			return err
		}
		if len(a.Damage) > 0 {
			return fmt.Errorf("audit of %s: %w", f.dir, &a.Damage[0])
		}
	}
	return nil
}

// errHeld marks a run that a place tells whole.
var errHeld = errors.New("held")

// lookAside looks for acknowledged failures and volumes.
func (h *saga) lookAside() error {
	dirs := []string{"out/r"}
	list, _ := h.disk.ReadDir("out/r/earlier")
	for _, e := range list {
		dirs = append(dirs, "out/r/earlier/"+e.Name())
	}
	failures := ""
	for _, dir := range dirs {
		data, err := h.disk.ReadFile(dir + "/failures.jsonl")
		if failures += string(data); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	for n := 1; n <= h.failures; n++ {
		if !strings.Contains(failures, fmt.Sprintf(`"replicate":%d,`, n)) {
			return fmt.Errorf("failure %d is lost", n)
		}
	}
	for name := range h.fields {
		there := false
		for _, dir := range dirs {
			data, err := h.disk.ReadFile(dir + "/fields/" + name)
			if there = there || err == nil; err == nil && string(data) != volumeText {
				return fmt.Errorf("volume %s in %s: %q", name, dir, data)
			}
		}
		if !there {
			return fmt.Errorf("volume %s is lost", name)
		}
	}
	return nil
}

// holds wants all rows of a run, as they must be.
func holds(got *Frame, table string, key runKey) error {
	var found []int
	for r := range got.Len() {
		if got.key(r) == key {
			found = append(found, r)
		}
	}
	rows := rowsOfRun(table, key)
	if len(found) != len(rows) {
		return fmt.Errorf("%s: %d rows, wanted %d", table, len(found), len(rows))
	}
	for i, r := range found {
		for c, v := range rows[i] {
			if got.Value(r, got.Schema.Columns[c].Name) != v {
				return fmt.Errorf("%s: column %s is %v, wanted %v", table, got.Schema.Columns[c].Name,
					got.Value(r, got.Schema.Columns[c].Name), v)
			}
		}
	}
	return nil
}
