package main

import (
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"onegrain/analysis/chart"
	"onegrain/sim"
	"onegrain/sim/measure"
	"onegrain/studies"
)

// drawing is what the options of `draw` say.
type drawing struct {
	n, replicate  int
	dir, format   string
	atH           float64
	frames        int
	vti, noStrays bool
	asJSON        bool
}

func drawCommand(s streams) *cobra.Command {
	var d drawing
	c := &cobra.Command{
		Use: "draw STUDY.toml", Short: shortDraw, Long: longDraw, Example: exampleDraw, Args: only("STUDY.toml"),
		RunE: func(_ *cobra.Command, args []string) error { return d.run(s, args[0]) },
	}
	f := c.Flags()
	f.IntVar(&d.n, "case", 1, flagCase)
	f.IntVar(&d.replicate, "replicate", 1, flagReplicate)
	f.StringVar(&d.dir, "out", ".", flagDrawOut)
	f.StringVar(&d.format, "format", "png", flagFormat)
	f.Float64Var(&d.atH, "at", 0, flagAt)
	f.IntVar(&d.frames, "frames", 0, flagFrames)
	f.BoolVar(&d.vti, "vti", false, flagVTI)
	f.BoolVar(&d.noStrays, "no-strays", false, flagNoStrays)
	f.BoolVar(&d.asJSON, "json", false, flagJSON)
	return c
}

func (d *drawing) check() error {
	switch {
	case d.format != "png" && d.format != "svg":
		return usage(fmt.Errorf("--format %q: wanted png or svg", d.format))
	case d.replicate < 1:
		return usage(fmt.Errorf("--replicate %d: replicates count from 1", d.replicate))
	case d.frames != 0 && (d.frames < 2 || d.frames > 200):
		return usage(fmt.Errorf("--frames %d: wanted 2 to 200", d.frames))
	case !(d.atH >= 0):
		return usage(fmt.Errorf("--at %v: wanted an hour of the programme, 0 or more", d.atH))
	}
	return nil
}

func (d *drawing) run(s streams, path string) error {
	if err := d.check(); err != nil {
		return err
	}
	study, err := loadStudy(path, memoryThere())
	if err != nil {
		return err
	}
	p, err := planned(study, d.n)
	if err != nil {
		return err
	}
	c, err := p.Case()
	if err != nil {
		return err
	}
	if end := c.Programme.EndH(); d.atH > end {
		return usage(fmt.Errorf("--at %g: the programme of this case ends after %.1f h", d.atH, end))
	}
	name := named(study, p)
	s.say("%s, replicate %d", name, d.replicate)
	key := p.Key(d.replicate)
	o := sim.Seeded(c, key)
	if !d.noStrays {
		o = o.Strays(key)
	}
	survey := measure.Look(o, p.JoinDeg)
	run := survey.Run()
	sheet := chart.Sheet{Title: study.Title, Note: fmt.Sprintf("%s, replicate %d", name, d.replicate), AtH: d.atH, LowAngle: lowAngle(survey.Boundaries())}
	files, err := d.write(filepath.Join(d.dir, fmt.Sprintf("%s-case-%d-replicate-%d", studyName(path), d.n, d.replicate)), cellsOf(o), sheet)
	if err != nil {
		return err
	}
	return d.tell(s, study, p, run, files)
}

// write makes the pictures whose names begin with base, and tells their names.
func (d *drawing) write(base string, c *chart.Cells, sheet chart.Sheet) ([]string, error) {
	if d.format == "svg" {
		sheet.Format = chart.SVG
	}
	type picture struct {
		end  string
		draw func(io.Writer) error
	}
	all := []picture{
		{"-grains." + d.format, func(w io.Writer) error { return chart.Grains(w, c, sheet) }},
		{"-sectors." + d.format, func(w io.Writer) error { return chart.Sectors(w, c, sheet) }},
		{"-arrival." + d.format, func(w io.Writer) error { return chart.Arrival(w, c, sheet) }},
	}
	if d.frames > 0 {
		all = append(all, picture{"-growth.gif", func(w io.Writer) error { return chart.TimeLapse(w, c, sheet, d.frames) }})
	}
	if d.vti {
		all = append(all, picture{".vti", func(w io.Writer) error { return chart.WriteVTI(w, c) }})
	}
	if err := os.MkdirAll(d.dir, 0o777); err != nil {
		return nil, err
	}
	var files []string
	for _, p := range all {
		if err := writeFile(base+p.end, p.draw); err != nil {
			return files, err
		}
		files = append(files, base+p.end)
	}
	return files, nil
}

// writeFile writes a file in one go; one that could not be finished is removed.
func writeFile(path string, write func(io.Writer) error) (err error) {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	defer func() {
		if shut := f.Close(); err == nil {
			err = shut
		}
		if err != nil {
			os.Remove(path)
		}
	}()
	return write(f)
}

// drawn is what `draw --json` tells.
type drawn struct {
	Case      int            `json:"case"`
	Replicate int            `json:"replicate"`
	Values    map[string]any `json:"values"`
	Single    bool           `json:"single_grain"`
	ClearMM   float64        `json:"clear_diameter_mm"`
	Solid     float64        `json:"solid_fraction"`
	Strays    int            `json:"stray_grains"`
	Files     []string       `json:"files"`
}

func (d *drawing) tell(s streams, study *studies.Study, p studies.Planned, run measure.Run, files []string) error {
	if d.asJSON {
		return printJSON(s.out, drawn{d.n, d.replicate, valuesOf(study, p), run.SingleGrain, run.ClearDiameterMM, run.SolidFraction, run.StrayGrains, files})
	}
	single := "not a single grain"
	if run.SingleGrain {
		single = "a single grain"
	}
	s.say("%s: %s, %.1f %% solid, largest uncontaminated grain %.1f mm across", single, plural(run.StrayGrains, "stray"), math.Floor(1000*run.SolidFraction)/10, run.ClearDiameterMM)
	for _, f := range files {
		if _, err := fmt.Fprintln(s.out, f); err != nil {
			return err
		}
	}
	return nil
}
