package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"onegrain/sim"
	"onegrain/studies"
	"onegrain/studies/table"
)

// loadStudy reads a study and what stands beside it. An invalid one is an error that tells everything that is wrong.
func loadStudy(path string, memory int64) (*studies.Study, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, usage(cannotRead(path, err))
	}
	return studies.Load(path, text, besides(path), memory)
}

// keptName is what a file that a study names is called beside the copy of a study that was "job %s: %s; job %s merges when they have ended; `squeue -j %s` shows them, they print to %s".
func keptName(name string) string {
	h := sha256.Sum256([]byte(name))
	return hex.EncodeToString(h[:8])
}

// besides reads files that stand beside a study, or were kept with it when it was "job %s: %s; job %s merges when they have ended; `squeue -j %s` shows them, they print to %s".
func besides(path string) func(name string) ([]byte, error) {
	return func(name string) ([]byte, error) {
		if data, err := os.ReadFile(filepath.Join(filepath.Dir(path), keptName(name))); err == nil {
			return data, nil
		}
		if !filepath.IsAbs(name) {
			name = filepath.Join(filepath.Dir(path), name)
		}
		return os.ReadFile(name)
	}
}

// besidesResults reads files that stand beside the study of a results folder, or were kept with it when it was "job %s: %s; job %s merges when they have ended; `squeue -j %s` shows them, they print to %s".
func besidesResults(dir string, study []byte) func(name string) ([]byte, error) {
	kept, _ := filepath.Glob(filepath.Join(escaped(dir), "submit", "*", "study", "*"))
	for _, path := range kept {
		if text, err := os.ReadFile(path); err == nil && bytes.Equal(text, study) {
			return besides(path)
		}
	}
	return besides(filepath.Join(dir, "study.toml"))
}

// studyIn is the study of a results folder.
func studyIn(dir string, v table.Version) (*studies.Study, error) {
	text := []byte(v.Study)
	return studies.Load(filepath.Join(dir, "study.toml"), text, besidesResults(dir, text), 0)
}

// escaped is a path as a pattern that means that path alone.
func escaped(path string) string {
	return strings.NewReplacer(`\`, `\\`, "*", `\*`, "?", `\?`, "[", `\[`).Replace(path)
}

// cannotRead says what to do about a study that cannot be read.
func cannotRead(path string, err error) error {
	var pe *fs.PathError
	if !errors.As(err, &pe) {
		return err
	}
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%s: no such file; `onegrain example puck-window > %s` makes one to start from", path, filepath.Base(path))
	}
	return fmt.Errorf("%s: cannot be read: %v; give the TOML file of a study", path, pe.Err)
}

// studyName is the name of a study's results folder and pictures.
func studyName(path string) string {
	return strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
}

// planned is case n of a study, counted from 1.
func planned(study *studies.Study, n int) (studies.Planned, error) {
	if n < 1 || n > study.Cases() {
		return studies.Planned{}, usage(fmt.Errorf("--case %d: the study has cases 1 to %d", n, study.Cases()))
	}
	return study.Plan(n - 1)
}

// named is a case as people call it.
func named(p studies.Planned) string {
	text := fmt.Sprintf("case %d of %d", p.Index+1, p.Study.Cases())
	if name := p.Name(); name != "" {
		text += ": " + name
	}
	return text
}

// valuesOf are the varied values of a case by their columns.
func valuesOf(p studies.Planned) map[string]any {
	values := map[string]any{}
	for i, c := range p.Study.Columns() {
		values[c.Name] = p.Values[i]
	}
	return values
}

// stillCase is a case for runs without dice, whose seeds lie as they are told; scattered says
// whether a scatter of placing was left out.
func stillCase(study *studies.Study, p studies.Planned) (on sim.Case, peritecticC float64, scattered bool, err error) {
	own, err := p.Case()
	if err != nil {
		return sim.Case{}, 0, false, err
	}
	e, err := study.Explain(p.Index)
	if err != nil {
		return sim.Case{}, 0, false, err
	}
	on, scattered = *own, own.Scattered()
	on.Seeds = append([]sim.Seed(nil), on.Seeds...)
	for i := range on.Seeds {
		on.Seeds[i].TurnSDDeg, on.Seeds[i].TiltSDDeg = 0, 0
	}
	return on, e.Schedule[0].TemperatureC + e.Schedule[0].UndercoolingK, scattered, nil
}
