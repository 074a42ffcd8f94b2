package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"onegrain/analysis/report"
	"onegrain/studies/table"
)

// mostFailures are told on a page.
const mostFailures = 20

// failuresOf reads the first failures of a results folder, and counts all.
func failuresOf(dir string) (some []report.Failure, n int, err error) {
	text, err := os.ReadFile(filepath.Join(dir, "failures.jsonl"))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, 0, nil
	}
	if err != nil {
		return nil, 0, err
	}
	for line := range bytes.Lines(text) {
		var f table.Failure
		if json.Unmarshal(bytes.TrimSpace(line), &f) != nil || f.CaseID == "" {
			continue // one that a kill has cut short
		}
		n++
		if len(some) < mostFailures {
			some = append(some, report.Failure{Case: failedCase(f), Error: f.Error, Command: f.Command})
		}
	}
	return some, n, nil
}

func failedCase(f table.Failure) string {
	var parts []string
	for _, name := range slices.Sorted(maps.Keys(f.Values)) {
		parts = append(parts, fmt.Sprintf("%s = %v", name, f.Values[name]))
	}
	if len(parts) == 0 {
		parts = []string{f.CaseID}
	}
	if f.Replicate > 0 {
		parts = append(parts, fmt.Sprintf("replicate %d", f.Replicate))
	}
	return strings.Join(parts, ", ")
}

// sessionsOf reads who wrote a results folder, in the order of time. A record that cannot be read is left to `audit`.
func sessionsOf(dir string) (all []report.Session, err error) {
	files, err := filepath.Glob(filepath.Join(dir, "provenance*.json"))
	if err != nil {
		return nil, nil //nolint:nilerr // the folder has signs of a pattern in its name
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			return nil, err
		}
		var told struct{ Sessions []table.Provenance }
		if json.Unmarshal(text, &told) != nil {
			continue
		}
		for _, p := range told.Sessions {
			all = append(all, report.Session{Version: p.Version, Model: p.ModelVersion, Go: p.GoVersion, Platform: p.Platform, Command: p.Command, Shard: p.Shard, StudySHA256: p.StudySHA256, Start: p.Start, End: p.End})
		}
	}
	slices.SortStableFunc(all, func(a, b report.Session) int { return a.Start.Compare(b.Start) })
	return all, nil
}
