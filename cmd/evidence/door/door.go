// Package door is the way a user takes: a study file goes in, tables come out.
//
//  1. [Open] takes the program and a folder for its work.
//  2. Door.Run writes a study file, runs `onegrain run` on it, and opens the results.
//  3. [Results] reads their tables, and the volumes of [keep] fields.
package door

import (
	"bytes"
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

// Open takes the path of the program, an existing folder that the studies may fill, and how many
// runs may go on at once. The error says that there is no such program.
func Open(program, dir string, cores int) (*Door, error) {
	path, err := exec.LookPath(program)
	if err == nil {
		path, err = filepath.Abs(path)
	}
	if err != nil {
		return nil, fmt.Errorf("%s: no program to run: `make build` makes bin/onegrain; or give another with -program",
			program)
	}
	return &Door{program: path, dir: dir, cores: make(chan struct{}, max(1, cores))}, nil
}

// ModelVersion is the version of the physics that wrote the results so far; "" before the first.
func (d *Door) ModelVersion() string {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.model
}

// Run has a study done with one worker, under a name of its own, and with further options of
// `onegrain run`. It waits for a free core. It panics with an error that has what the program said:
// a study that is refused or has a failed run is one. So do all that reads the results; whoever
// asks for an item takes it for broken off.
func (d *Door) Run(name, study string, options ...string) *Results {
	d.cores <- struct{}{}
	defer func() { <-d.cores }()
	path, out := filepath.Join(d.dir, name+".toml"), filepath.Join(d.dir, name)
	if _, err := os.Stat(path); err == nil {
		panic(fmt.Errorf("study %s: the name is taken; studies of all items share a folder", name))
	}
	need(os.WriteFile(path, []byte(study), 0o666))
	c := exec.Command(d.program, append([]string{"run", path, "--out", out, "--workers", "1"}, options...)...)
	var said bytes.Buffer
	c.Stderr = &said
	if err := c.Run(); err != nil {
		panic(fmt.Errorf("study %s: %w: %s", name, err, strings.TrimSpace(said.String())))
	}
	folder, err := table.Open(out)
	need(err)
	version, err := folder.Version()
	need(err)
	d.note(version.Model)
	return &Results{Dir: out, folder: folder}
}

func need(err error) {
	if err != nil {
		panic(err)
	}
}

// note keeps the version of the physics, which has to be one throughout.
func (d *Door) note(model string) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.model != "" && d.model != model {
		panic(fmt.Errorf("model version %s, and %s before: the program changed under way", model, d.model))
	}
	d.model = model
}

// Results is what a study left. Its rows are in order of case and replicate only within a part, so
// pick them by their columns.
type Results struct {
	Dir    string // the results folder
	folder *table.Folder
}

// Numbers are columns of a table (runs, cases, grains, boundaries or history), one slice each:
// flags count as 0 or 1, what is empty or text as NaN.
func (r *Results) Numbers(table string, columns ...string) (all [][]float64) {
	f, err := r.folder.Table(table)
	need(err)
	for _, c := range columns {
		x, err := f.Reals(c)
		need(err)
		all = append(all, x)
	}
	return all
}

// Texts are a column of text of a table.
func (r *Results) Texts(table, column string) []string {
	f, err := r.folder.Table(table)
	need(err)
	x, err := f.Texts(column)
	need(err)
	return x
}
