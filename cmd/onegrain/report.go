package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"onegrain/analysis"
	proof "onegrain/analysis/evidence" // "evidence" is a constant of progress.go
	"onegrain/analysis/report"
	"onegrain/analysis/report/plots"
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
		"`file` of the study, where it needs others that stand beside it: an outline, a table of cases")
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
	study, why := r.load(folder)
	if why == "" {
		found.Warnings = append(found.Warnings, study.Notes()...)
	}
	if r.asJSON {
		return printJSON(s.out, found)
	}
	if r.out == "" {
		r.out = r.results
	}
	return r.write(s, folder, found, study, why)
}

// load is the study of the results; why says what is in the way.
func (r *reporting) load(folder *table.Folder) (study *studies.Study, why string) {
	text, err := folder.Study()
	if err == nil {
		study, err = studies.Load("study.toml", text, cluster.Beside(cmp.Or(r.study,
			filepath.Join(r.results, "study.toml"))), run.MemoryThere())
	}
	if err != nil {
		return nil, "the study in the results cannot be used here (" + firstLine(err) + "); where it needs files that " +
			"stand beside it, give --study with its path"
	}
	return study, ""
}

// mostFailures are told on a page.
const mostFailures = 20

// write draws the figures and puts the page in place whole.
func (r *reporting) write(
	s streams, folder *table.Folder, found *analysis.Findings, study *studies.Study, why string,
) error {
	text, err := folder.Study()
	if err != nil {
		return err
	}
	from := report.Sources{Findings: found, Folder: r.results, Study: string(text), NoCase: why, Program: version(),
		Model: studies.ModelVersion, Command: r.asked()}
	kept, err := proof.Kept()
	if err != nil {
		return err
	}
	from.Evidence = &kept
	var damaged *table.Corrupt // a record that cannot be read is left to `audit`
	if from.Sessions, err = folder.Sessions(); err != nil && !errors.As(err, &damaged) {
		return err
	}
	if from.Failures, from.Failed, err = folder.Failures(mostFailures); err != nil {
		return err
	}
	on := s.on()
	put := func(name string, content func(io.Writer) error) error { return disk.Put(on, r.out, name, content) }
	if err := disk.MkdirAll(on, r.out); err != nil {
		return err
	}
	a := plots.NewAlbum(put)
	s.say("drawing charts")
	for _, p := range plots.Of(found) {
		if err := a.Add(p); err != nil {
			return err
		}
	}
	if study != nil {
		from.Laws = study.Laws()
		if err := r.look(s, &from, study, a); err != nil {
			return err
		}
	}
	from.Figures = a.Figures
	if err := put(pageName, report.Make(from).HTML); err != nil {
		return err
	}
	s.say("%s", found.Window.Sentence)
	_, err = fmt.Fprintln(s.out, filepath.Join(r.out, pageName))
	return err
}

const pageName = "report.html"

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
