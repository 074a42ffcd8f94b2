// Package door is the way a user takes: a study file goes in, tables come out.
//
//  1. [Open] takes the program and a folder for its work.
//  2. Door.Run writes a study file, runs `onegrain run` on it, and opens the results.
//  3. [Results] reads their tables, and the volumes of [keep] fields.
package door

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"

	"onegrain/studies/table"
)

// Door runs studies, as many at a time as there are cores for. Safe for concurrent use.
type Door struct {
	program, dir string
	cores        chan struct{}

	mu    sync.Mutex
	model string
}

// Open takes the path of the program, an existing folder that the studies may fill, and how many runs may go on at once. The
// error says that there is no such program.
func Open(program, dir string, cores int) (*Door, error) {
	path, err := exec.LookPath(program)
	if err == nil {
		path, err = filepath.Abs(path)
	}
	if err != nil {
		return nil, fmt.Errorf("%s: no program to run: `make build` makes bin/onegrain; or give another with -program", program)
	}
	return &Door{program: path, dir: dir, cores: make(chan struct{}, max(1, cores))}, nil
}

// ModelVersion is the version of the physics that wrote the results so far; "" before the first.
func (d *Door) ModelVersion() string {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.model
}

// Run has a study done with one worker, under a name of its own, and with further options of `onegrain run`. It waits for a free
// core. The error has what the program said: a study that is refused or has a failed run is one.
func (d *Door) Run(name, study string, options ...string) (*Results, error) {
	d.cores <- struct{}{}
	defer func() { <-d.cores }()
	path, out := filepath.Join(d.dir, name+".toml"), filepath.Join(d.dir, name)
	if _, err := os.Stat(path); err == nil {
		return nil, fmt.Errorf("study %s: the name is taken; studies of all items share a folder", name)
	}
	if err := os.WriteFile(path, []byte(study), 0o666); err != nil {
		return nil, err
	}
	c := exec.Command(d.program, append([]string{"run", path, "--out", out, "--workers", "1"}, options...)...)
	var said bytes.Buffer
	c.Stderr = &said
	if err := c.Run(); err != nil {
		return nil, fmt.Errorf("study %s: %v: %s", name, err, strings.TrimSpace(said.String()))
	}
	folder, err := table.Open(out)
	if err != nil {
		return nil, err
	}
	return &Results{Dir: out, folder: folder}, d.note(out)
}

// note keeps the version of the physics, which has to be one throughout.
func (d *Door) note(out string) error {
	data, err := os.ReadFile(filepath.Join(out, "provenance.json"))
	if err != nil {
		return err
	}
	var p struct {
		Sessions []table.Provenance `json:"sessions"`
	}
	if err := json.Unmarshal(data, &p); err != nil || len(p.Sessions) == 0 {
		return fmt.Errorf("%s: no session in provenance.json", out)
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if v := p.Sessions[0].ModelVersion; d.model != "" && d.model != v {
		return fmt.Errorf("model version %s, and %s before: the program changed under way", v, d.model)
	} else {
		d.model = v
	}
	return nil
}

// Results is what a study left.
type Results struct {
	Dir    string // the results folder
	folder *table.Folder
}

// Table is one of runs, cases, grains, boundaries, history; rows of the tables by run are in order of case and replicate only
// within a part, so pick them by their columns.
func (r *Results) Table(name string) (*table.Frame, error) { return r.folder.Table(name) }

// Numbers are columns of a table, one slice each: flags count as 0 or 1, what is empty or text as NaN.
func (r *Results) Numbers(table string, columns ...string) ([][]float64, error) {
	f, err := r.Table(table)
	if err != nil {
		return nil, err
	}
	var all [][]float64
	for _, c := range columns {
		x, err := f.Reals(c)
		if err != nil {
			return nil, err
		}
		all = append(all, x)
	}
	return all, nil
}
