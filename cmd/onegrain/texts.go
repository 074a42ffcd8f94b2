package main

import (
	"cmp"
	"embed"
	"fmt"
	"strings"
	"text/template"

	"github.com/spf13/cobra"

	"onegrain/analysis"
	"onegrain/analysis/fit/lawbook"
	"onegrain/analysis/plain"
	"onegrain/studies"
)

// pages are the pages of `onegrain help`. Each is a file: a line that says in short what it is
// about, an empty line, and the page, which begins with examples. The page of a command has its
// name; any other file is a page by itself, without a line of code. What the program knows stands
// in a page as {{keys}}, {{columns "runs"}} or {{rule}}.
//
//go:embed help advice.txt advice-laws.txt
var pages embed.FS

// page is the page of that name, and its first line. Its places are filled in when it is shown.
func page(name string) (short, long string) {
	short, long, _ = strings.Cut(embedded("help/"+name+".txt"), "\n\n")
	return short, long
}

// fillPages makes the help of a command fill in its page first.
func fillPages(root *cobra.Command) {
	help := root.HelpFunc()
	root.SetHelpFunc(func(c *cobra.Command, args []string) {
		c.Long = filled(c.Long, nil, template.FuncMap{
			"keys": studies.Reference, "rule": func() string { return analysis.Rule }, "columns": analysis.Columns,
			"sheet": lawbook.Columns, "priors": lawbook.Priors,
		})
		help(c, args)
	})
}

// embedded is a file of pages.
func embedded(file string) string {
	data, err := pages.ReadFile(file)
	if err != nil {
		panic(err) // a command without a page
	}
	return string(data)
}

// filled is a text with its places filled in.
func filled(text string, with any, know template.FuncMap) string {
	var b strings.Builder
	if err := template.Must(template.New("").Funcs(know).Parse(text)).Execute(&b, with); err != nil {
		panic(err) // a fault of the file, which a test reads
	}
	return b.String()
}

// command is a command with its page; use is its name and the arguments that it wants.
func command(use string, run func(c *cobra.Command, args []string) error) *cobra.Command {
	words := strings.Fields(use)
	short, long := page(words[0])
	return &cobra.Command{Use: use, Short: short, Long: long, Args: exactly(words[1:]...), RunE: run}
}

// topics are the pages that no command has.
func topics(root *cobra.Command) (all []*cobra.Command) {
	files, _ := pages.ReadDir("help") // it is embedded
	for _, f := range files {
		name := strings.TrimSuffix(f.Name(), ".txt")
		if c, _, err := root.Find([]string{name}); !f.IsDir() && name != root.Name() && (err != nil || c == root) {
			short, long := page(name)
			all = append(all, &cobra.Command{Use: name, Short: short, Long: long})
		}
	}
	return all
}

// helpTemplate lays out a page: its text, usage, commands, pages, options.
const helpTemplate = `{{with or .Long .Short}}{{. | trimTrailingWhitespaces}}
{{end}}{{if .Runnable}}
Usage: {{if .HasAvailableSubCommands}}{{.CommandPath}} COMMAND{{else}}{{.UseLine}}{{end}}
{{end}}{{if .HasAvailableSubCommands}}
Commands:
{{range .Commands}}{{if .IsAvailableCommand}}  {{rpad .Name .NamePadding}}  {{.Short}}
{{end}}{{end}}{{end}}{{if .HasHelpSubCommands}}
Pages of ` + "`onegrain help PAGE`" + `:
{{range .Commands}}{{if .IsAdditionalHelpTopicCommand}}  {{rpad .Name .NamePadding}}  {{.Short}}
{{end}}{{end}}{{end}}{{if .HasAvailableLocalFlags}}
Options:
{{.LocalFlags.FlagUsages | trimTrailingWhitespaces}}
{{end}}`

func unknownCommand(c *cobra.Command, name string) error {
	text := fmt.Sprintf("unknown command %q", name)
	c.SuggestionsMinimumDistance = 2
	if near := c.SuggestionsFor(name); len(near) > 0 {
		return fmt.Errorf("%s; did you mean %s?", text, strings.Join(near, " or "))
	}
	return fmt.Errorf("%s; see `onegrain help` for the commands there are", text)
}

// exactly wants the arguments of these names, and no more; one in brackets may be left out.
func exactly(names ...string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		wanted := strings.Join(names, " ")
		if n := len(args); n <= len(names) && n >= len(names)-strings.Count(wanted, "[") {
			return nil
		}
		got := plain.Plural(len(args), "argument")
		wanted = cmp.Or(strings.Trim(wanted, "[]"), "nothing")
		return usage(fmt.Errorf("%s takes %s, got %s; see `%[1]s --help`", c.CommandPath(), wanted, got))
	}
}

// jsonFlag is the option of a command that prints JSON for programs.
func jsonFlag(c *cobra.Command) *bool {
	return c.Flags().Bool("json", false, "print JSON instead of a table")
}

// caseFlag is the option of a command that looks at one case.
func caseFlag(c *cobra.Command, into *int) {
	c.Flags().IntVar(into, "case", 1, "`number` of the case, from 1 in the order of the study")
}

// outFlag is the option of a command that writes results.
func outFlag(c *cobra.Command, into *string) {
	c.Flags().StringVar(into, "out", "", "`folder` for the results (default results/NAME for NAME.toml)")
}

// oddsFlags are the options of a command that runs a study.
func oddsFlags(c *cobra.Command, oddsOnly, failFast *bool) {
	c.Flags().BoolVar(oddsOnly, "odds-only", false,
		"compute only the exact odds, with one run without strays for each case (16 to 64 with placing scatter)")
	c.Flags().BoolVar(failFast, "fail-fast", false, "stop at the first case that fails")
}

// chanceFlag is the option of a command that finds the best case.
func chanceFlag(c *cobra.Command, into *float64) {
	c.Flags().Float64Var(into, "chance", 0.95, "wanted `chance` of a single grain")
}

// plainFlag says what a flag wants in place of what its parser says of it.
func plainFlag(text string) string {
	said, parser, found := strings.Cut(text, ": strconv.")
	if !found {
		return text
	}
	for name, wanted := range map[string]string{
		"ParseInt": "a whole number", "ParseFloat": "a number", "ParseBool": "true or false",
	} {
		if strings.HasPrefix(parser, name) {
			return said + ": wanted " + wanted
		}
	}
	return text
}
