package main

import (
	"cmp"
	"fmt"
	"io"
	"path/filepath"
	"runtime"
	"strings"

	"github.com/spf13/cobra"

	"onegrain/analysis"
	"onegrain/analysis/report/whole"
	"onegrain/studies"
	"onegrain/studies/cluster"
	"onegrain/studies/disk"
	"onegrain/studies/run"
	"onegrain/studies/table"
)

// reporting is what the options of `report` say.
type reporting struct {
	results, out       string
	study              string // where it stood, for the files beside it
	chance             float64
	axes, only         []string
	noPictures, asJSON bool
}

func reportCommand(s streams) *cobra.Command {
	var r reporting
	c := command("report RESULTS", func(_ *cobra.Command, args []string) error {
		r.results = args[0]
		return r.run(s)
	})
	f := c.Flags()
	chanceFlag(c, &r.chance)
	f.StringVar(&r.out, "out", "", "`folder` for the page (default: the results folder)")
	f.StringSliceVar(&r.axes, "axes", nil, "one or two varied `columns` that make the window, with a comma between "+
		"(default: those with the most values)")
	f.StringArrayVar(&r.only, "only", nil, "of a varied `column=value` the cases with this value alone; may be repeated")
	f.StringVar(&r.study, "study", "",
		"`file` of the study, where it needs others that lie beside it: an outline, a table of cases")
	f.BoolVar(&r.noPictures, "no-pictures", false, "do not grow the best case again for pictures")
	f.BoolVar(&r.asJSON, "json", false, "print the findings as JSON and make no page")
	return c
}

// options are those of the analysis.
func (r *reporting) options() (o analysis.Options, err error) {
	if err := likely(r.chance); err != nil {
		return o, err
	}
	o.Chance = r.chance
	if len(r.axes) > 2 {
		return o, usage(fmt.Errorf("--axes %s: a window has one or two", strings.Join(r.axes, ",")))
	}
	for i, name := range r.axes {
		*[]*string{&o.X, &o.Y}[i] = strings.TrimSpace(name)
	}
	for _, text := range r.only {
		name, value, found := strings.Cut(text, "=")
		if !found {
			return o, usage(fmt.Errorf("--only %s: wanted a varied column and a value, such as turn=parallel", text))
		}
		if o.Fixed == nil {
			o.Fixed = map[string]string{}
		}
		o.Fixed[strings.TrimSpace(name)] = strings.TrimSpace(value)
	}
	return o, nil
}

func (r *reporting) run(s streams) error {
	options, err := r.options()
	if err != nil {
		return err
	}
	folder, err := openResults(s, r.results)
	if err != nil {
		return err
	}
	if !r.asJSON {
		s.say("reading %s", r.results)
	}
	found, err := analysis.Read(folder, options)
	if err != nil {
		return misused(err)
	}
	if found.Cases == 0 {
		return noRunsYet(r.results)
	}
	study, unread := r.load(folder)
	if unread == nil {
		found.Warnings = append(found.Warnings, study.Notes()...)
	}
	if r.asJSON {
		return printJSON(s.out, found)
	}
	page, err := whole.Read(folder, r.results, found, unread, version(), r.asked())
	if err != nil {
		return err
	}
	page.Study, page.NoPictures, page.Say = study, r.noPictures, s.say
	page.Case = func(id string) (int, bool) {
		i, found := run.Identities(study, studies.ModelVersion, runtime.GOMAXPROCS(0))[id]
		return i, found
	}
	on, out := s.on(), cmp.Or(r.out, r.results)
	if err := disk.MkdirAll(on, out); err != nil {
		return err
	}
	if err := page.Write(func(name string, content func(io.Writer) error) error {
		return disk.Put(on, out, name, content)
	}); err != nil {
		return err
	}
	s.say("%s", found.Window.Sentence)
	_, err = fmt.Fprintln(s.out, filepath.Join(out, whole.PageName))
	return err
}

// load is the study of the results.
func (r *reporting) load(folder *table.Folder) (*studies.Study, error) {
	text, err := folder.Study()
	if err != nil {
		return nil, err
	}
	return studies.Load("study.toml", text, cluster.Beside(cmp.Or(r.study, filepath.Join(r.results, "study.toml"))),
		run.MemoryThere(), table.DecodeLaws)
}

// asked is the command line as it could be given again.
func (r *reporting) asked() string {
	text := "onegrain report " + r.results
	if r.chance != 0.95 {
		text += fmt.Sprintf(" --chance %g", r.chance)
	}
	if len(r.axes) > 0 {
		text += " --axes " + strings.Join(r.axes, ",")
	}
	for _, o := range r.only {
		text += fmt.Sprintf(" --only %q", o)
	}
	if r.study != "" {
		text += " --study " + r.study
	}
	if r.noPictures {
		text += " --no-pictures"
	}
	return text
}
