package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"onegrain/analysis"
	"onegrain/studies/table"
)

func showCommand(s streams) *cobra.Command {
	var asJSON bool
	var chance float64
	c := command("show RESULTS", func(_ *cobra.Command, args []string) error { return show(s, args[0], chance, asJSON) })
	chanceFlag(c, &chance)
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON instead of a table")
	return c
}

// show prints the headline table of a results folder.
func show(s streams, dir string, chance float64, asJSON bool) error {
	if err := likely(chance); err != nil {
		return err
	}
	folder, err := openResults(s, dir)
	if err != nil {
		return err
	}
	h, err := analysis.Head(folder, chance)
	if err != nil {
		return err
	}
	if h.Cases.Len() == 0 {
		return noRunsYet(dir)
	}
	if asJSON {
		return printJSON(s.out, records(h.Cases))
	}
	return headline(s, h, chance)
}

// likely refuses a wanted chance that is none.
func likely(chance float64) error {
	if !(chance > 0 && chance < 1) {
		return usage(fmt.Errorf("--chance %v: wanted a chance above 0 and below 1, such as 0.95", chance))
	}
	return nil
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
