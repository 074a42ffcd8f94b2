package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"onegrain/studies"
	"onegrain/studies/cluster"
	"onegrain/studies/run"
	"onegrain/studies/table"
)

// loadStudy reads a study and what stands beside it, as a program with so much memory would, and
// puts the files that it names into kept where that is not nil. An invalid study is an error that
// says everything that is wrong.
func loadStudy(path string, memory int64, kept map[string][]byte) (*studies.Study, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, usage(cannotRead(path, err))
	}
	return studies.Load(path, text, func(name string) ([]byte, error) {
		data, err := cluster.Beside(path)(name)
		if err == nil && kept != nil {
			kept[name] = data
		}
		return data, err
	}, memory, table.DecodeLaws)
}

// loadCase reads a study for one of its cases, counted from 1.
func loadCase(path string, n int) (p studies.Planned, err error) {
	study, err := loadStudy(path, run.MemoryThere(), nil)
	if err != nil {
		return p, err
	}
	if n < 1 || n > study.Cases() {
		return p, usage(fmt.Errorf("--case %d: the study has cases 1 to %d", n, study.Cases()))
	}
	return study.Plan(n - 1)
}

// studyIn is the study of a results folder.
func studyIn(dir string, v table.Version) (*studies.Study, error) {
	text := []byte(v.Study)
	return studies.Load(filepath.Join(dir, "study.toml"), text, cluster.BesideResults(dir, text), 0, table.DecodeLaws)
}

// openResults opens a results folder. That there is none can be mended; any other error is one of
// storage.
func openResults(s streams, dir string) (*table.Folder, error) {
	folder, err := table.Open(dir, s.disk)
	if errors.Is(err, fs.ErrNotExist) {
		err = usage(err)
	}
	return folder, err
}

// noRunsYet is the error of results without a finished case.
func noRunsYet(dir string) error {
	return failure(exitStopped, "%s: no finished case yet; `onegrain run %s --out %[1]s` goes on", dir,
		filepath.Join(dir, "study.toml"))
}

// cannotRead says what to do about a study that cannot be read.
func cannotRead(path string, err error) error {
	var pe *fs.PathError
	switch {
	case !errors.As(err, &pe):
		return err
	case errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("%s: no such file; `onegrain example puck-window > %s` makes one to start from", path,
			filepath.Base(path))
	}
	return fmt.Errorf("%s: cannot be read: %v; give the TOML file of a study", path, pe.Err)
}

// studyName is the name of a study's results folder and pictures.
func studyName(path string) string {
	return strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
}

// named is a case as people call it.
func named(p studies.Planned) string {
	text := fmt.Sprintf("case %d of %d", p.Index+1, p.Study.Cases())
	if name := p.Name(); name != "" {
		text += ": " + name
	}
	return text
}
