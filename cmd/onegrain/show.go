package main

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"

	"github.com/spf13/cobra"

	"onegrain/studies/table"
)

func showCommand(s streams) *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use: "show RESULTS", Short: shortShow, Long: longShow, Example: exampleShow, Args: only("RESULTS"),
		RunE: func(_ *cobra.Command, args []string) error { return show(s, args[0], asJSON) },
	}
	c.Flags().BoolVar(&asJSON, "json", false, flagJSON)
	return c
}

// show prints the headline table of a results folder.
func show(s streams, dir string, asJSON bool) error {
	folder, err := table.Open(dir, s.disk)
	if err != nil {
		return noResults(err)
	}
	cases, err := folder.Table("cases")
	if err != nil {
		return err
	}
	if cases.Len() == 0 {
		return coded{fmt.Errorf(noRunsYet, dir, filepath.Join(dir, "study.toml"), dir), exitStopped}
	}
	if asJSON {
		return printJSON(s.out, records(cases))
	}
	return headline(s, cases)
}

// noResults marks the error of a folder that is none, which the user can mend; any other is one of storage.
func noResults(err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return usage(err)
	}
	return err
}

// records are rows as JSON objects; what is empty is null.
func records(f *table.Frame) []map[string]any {
	all := make([]map[string]any, f.Len())
	for r := range all {
		all[r] = map[string]any{}
		for _, c := range f.Schema.Columns {
			all[r][c.Name] = f.Value(r, c.Name)
		}
	}
	return all
}
