package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"onegrain/analysis/plain"
	"onegrain/studies"
)

func materialsCommand(s streams) *cobra.Command {
	var asJSON bool
	c := command("materials", func(*cobra.Command, []string) error {
		if asJSON {
			return printJSON(s.out, studies.Materials())
		}
		return printMaterials(s)
	})
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON instead of a table")
	return c
}

func printMaterials(s streams) error {
	for i, m := range studies.Materials() {
		if i > 0 {
			if _, err := s.out.Write([]byte("\n")); err != nil {
				return err
			}
		}
		g := &plain.Grid{Head: []string{bold(s.out, m.Name), "value", "unit", "how sure", "source"}}
		var sources []string
		for _, p := range m.Properties {
			k := slices.Index(sources, p.Source)
			if k < 0 {
				k, sources = len(sources), append(sources, p.Source)
			}
			g.Add(strings.TrimPrefix(p.Key, "material."), plain.Cell(p.Value), p.Unit, p.Sure, fmt.Sprintf("[%d]", k+1))
		}
		if err := g.Print(s.out); err != nil {
			return err
		}
		for k, source := range sources {
			if _, err := fmt.Fprintln(s.out, plain.Folded(fmt.Sprintf("[%d] %s", k+1, source), "    ")); err != nil {
				return err
			}
		}
		if m.Remark != "" {
			if _, err := fmt.Fprintln(s.out, plain.Folded(m.Remark, "")); err != nil {
				return err
			}
		}
	}
	return nil
}
