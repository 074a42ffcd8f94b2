package main

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"strings"

	"github.com/BurntSushi/toml"
	"github.com/spf13/cobra"

	"onegrain/analysis/plain"
	"onegrain/studies"
)

func exampleCommand(s streams) *cobra.Command {
	var asJSON *bool
	c := command("example [NAME]", func(_ *cobra.Command, args []string) error {
		if len(args) == 0 {
			return listExamples(s, *asJSON)
		}
		return printExample(s, args[0], *asJSON)
	})
	c.ValidArgsFunction = func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return exampleNames(), cobra.ShellCompDirectiveNoFileComp
	}
	asJSON = jsonFlag(c)
	return c
}

func exampleNames() []string {
	files, _ := fs.Glob(studies.Catalog(), "*.toml") // the pattern is sound, the only error there is
	for i := range files {
		files[i] = strings.TrimSuffix(files[i], ".toml")
	}
	return files
}

func listExamples(s streams, asJSON bool) error {
	var all []entry
	g := &plain.Grid{Head: []string{"name", "title"}}
	for _, name := range exampleNames() {
		text, err := fs.ReadFile(studies.Catalog(), name+".toml")
		if err != nil {
			return err
		}
		title := titleOf(string(text))
		all = append(all, entry{Name: name, Title: title})
		g.Add(name, title)
	}
	if asJSON {
		return printJSON(s.out, all)
	}
	return g.Print(s.out)
}

type entry struct {
	Name  string `json:"name"`
	Title string `json:"title"`
	Text  string `json:"text,omitempty"` // the study itself, where one was asked for
}

// titleOf is the title of a shipped study, which is not loaded for it: that would cost more than
// listing deserves.
func titleOf(text string) string {
	var study struct{ Title string }
	_, _ = toml.Decode(text, &study) // a test loads every shipped study
	return study.Title
}

func printExample(s streams, name string, asJSON bool) error {
	name = strings.TrimSuffix(name, ".toml")
	text, err := fs.ReadFile(studies.Catalog(), name+".toml")
	if err != nil {
		return usage(fmt.Errorf("there is no example %q; there are: %s", name, strings.Join(exampleNames(), ", ")))
	}
	if asJSON {
		return printJSON(s.out, entry{name, titleOf(string(text)), string(text)})
	}
	_, err = s.out.Write(text)
	return err
}

func printJSON(w interface{ Write([]byte) (int, error) }, v any) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(v)
}
