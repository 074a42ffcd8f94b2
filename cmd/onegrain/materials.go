package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"onegrain/analysis/plain"
	"onegrain/studies/material"
)

func materialsCommand(s streams) *cobra.Command {
	var asJSON bool
	c := command("materials", func(*cobra.Command, []string) error {
		if asJSON {
			return printJSON(s.out, materialRecords())
		}
		return printMaterials(s)
	})
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON instead of a table")
	return c
}

type materialRecord struct {
	Name       string           `json:"name"`
	Remark     string           `json:"remark"`
	Properties []propertyRecord `json:"properties"`
}

type propertyRecord struct {
	Key    string `json:"key"`
	Value  any    `json:"value"` // number, or the name of a law
	Unit   string `json:"unit"`
	Sure   string `json:"sure"`
	Source string `json:"source"`
}

func materialRecords() []materialRecord {
	var all []materialRecord
	for _, m := range material.Rows() {
		r := materialRecord{Name: m.Name, Remark: m.Remark}
		for _, p := range m.Properties {
			q := propertyRecord{p.Key, p.Number, p.Unit, p.Sure, p.Source}
			if p.Text != "" {
				q.Value = p.Text
			}
			r.Properties = append(r.Properties, q)
		}
		all = append(all, r)
	}
	return all
}

func printMaterials(s streams) error {
	for i, m := range material.Rows() {
		if i > 0 {
			if _, err := s.out.Write([]byte("\n")); err != nil {
				return err
			}
		}
		g := &plain.Grid{Head: []string{bold(s.out, m.Name), "value", "unit", "how sure", "source"}}
		var sources []string
		for _, p := range m.Properties {
			value := p.Text
			if value == "" {
				value = plain.Short6(p.Number)
			}
			k := slices.Index(sources, p.Source)
			if k < 0 {
				k, sources = len(sources), append(sources, p.Source)
			}
			g.Add(strings.TrimPrefix(p.Key, "material."), value, p.Unit, p.Sure, fmt.Sprintf("[%d]", k+1))
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
