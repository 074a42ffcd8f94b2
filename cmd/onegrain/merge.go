package main

import (
	"errors"
	"io/fs"
	"path/filepath"

	"github.com/spf13/cobra"

	"onegrain/analysis/plain"
	"onegrain/studies/table"
)

func mergeCommand(s streams) *cobra.Command {
	return command("merge RESULTS", func(_ *cobra.Command, args []string) error { return merge(s, args[0]) })
}

// merge makes few files of many, and says what the study still lacks.
func merge(s streams, dir string) error {
	folder, err := openResults(s, dir)
	if err != nil {
		return err
	}
	changed := false
	err = folder.Merge(func(name string, before, after, rows int) {
		changed = true
		s.say("%s: %s -> %s, %s", name, plain.Plural(before, "file"), plain.Plural(after, "file"), plain.Plural(rows, "row"))
	})
	if err != nil {
		return err
	}
	if !changed {
		s.say("%s: every table is one file already, or none", dir)
	}
	return sayUnfinished(s, dir, folder)
}

// sayUnfinished says how many cases of the study are not finished. It needs the study's own text
// and what it names beside it.
func sayUnfinished(s streams, dir string, folder *table.Folder) error {
	version, err := folder.Version()
	if err != nil {
		return err
	}
	study, err := studyIn(dir, version)
	if err != nil {
		s.say("it is not known whether all cases are finished: %s names a file that is not beside it",
			filepath.Join(dir, "study.toml"))
		return nil // its outline or table lies elsewhere
	}
	cases, err := folder.Table("cases")
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	finished := map[any]bool{}
	for r := range cases.Len() {
		by := cases.Value(r, "stopped_by")
		finished[cases.Value(r, "case_id")] = by != "interrupted" && by != "failures"
	}
	left := 0
	for i := range study.Cases() {
		if p, err := study.Plan(i); err == nil && !finished[p.ID] {
			left++
		}
	}
	if left > 0 {
		s.say("%d of %s are not finished: the same `onegrain run` or shards go on; then merge once more", left,
			plain.Plural(study.Cases(), "case"))
	}
	return nil
}
