package main

import (
	"fmt"
	"math"

	"github.com/spf13/cobra"

	"onegrain/sim"
	"onegrain/sim/measure"
)

// drawing is what the options of `draw` say.
type drawing struct {
	n, replicate  int
	dir, format   string
	atH           float64
	frames        int
	vti, noStrays bool
	asJSON        bool
	pictures      []string
	sections      []string
}

func drawCommand(s streams) *cobra.Command {
	var d drawing
	c := command("draw STUDY.toml", func(_ *cobra.Command, args []string) error { return d.run(s, args[0]) })
	f := c.Flags()
	f.IntVar(&d.n, "case", 1, "`number` of the case, from 1 in the order of the study")
	f.IntVar(&d.replicate, "replicate", 1, "`number` of the replicate, from 1")
	f.StringVar(&d.dir, "out", ".", "`folder` for the pictures")
	f.StringVar(&d.format, "format", "png", "`kind` of picture, png or svg")
	f.StringSliceVar(&d.pictures, "pictures", usualPictures(), "`kinds` of picture, with commas between, or all")
	f.StringArrayVar(&d.sections, "section", nil, "`plane` to show instead of the usual ones, such as y=2.5 in mm; up to three times")
	f.Float64Var(&d.atH, "at", 0, "the body as it was at this `hour` of the programme (default: at its end)")
	f.IntVar(&d.frames, "frames", 0, "also a time-lapse of this `number` of frames, 2 to 200")
	f.BoolVar(&d.vti, "vti", false, "also the volume for 3D viewers, as .vti")
	f.BoolVar(&d.noStrays, "no-strays", false, "the run without strays, as the exact odds see it")
	f.BoolVar(&d.asJSON, "json", false, "print JSON instead of a table")
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
	return d.checkPictures()
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
	g := &gallery{drawing: d, study: study, planned: p, outcome: o, survey: measure.Look(o, p.JoinDeg), cells: cellsOf(o)}
	if err := g.prepare(fmt.Sprintf("%s, replicate %d", name, d.replicate)); err != nil {
		return err
	}
	if err := g.write(s.on(), fmt.Sprintf("%s-case-%d-replicate-%d", studyName(path), d.n, d.replicate)); err != nil {
		return err
	}
	return g.tell(s)
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
	Magnet    *worth         `json:"magnet,omitempty"`
	Files     []string       `json:"files"`
	Pictures  []shown        `json:"pictures"`
}

// shown is a file with what is seen on it, for those who do not see it.
type shown struct {
	File  string `json:"file"`
	Kind  string `json:"kind"`
	Shows string `json:"shows"`
}

func (g *gallery) tell(s streams) error {
	run := g.run
	if g.asJSON {
		told := drawn{g.n, g.replicate, valuesOf(g.study, g.planned), run.SingleGrain, run.ClearDiameterMM, run.SolidFraction, run.StrayGrains, g.worth, []string{}, []shown{}}
		for _, f := range g.files {
			told.Files = append(told.Files, f.File)
			if f.Shows != "" {
				told.Pictures = append(told.Pictures, f)
			}
		}
		return printJSON(s.out, told)
	}
	single := "not a single grain"
	if run.SingleGrain {
		single = "a single grain"
	}
	s.say("%s: %s, %.1f %% solid, largest uncontaminated grain %.1f mm across", single, plural(run.StrayGrains, "stray"), math.Floor(1000*run.SolidFraction)/10, run.ClearDiameterMM)
	if g.worth != nil {
		g.worth.tell(s)
	}
	for _, f := range g.files {
		if _, err := fmt.Fprintln(s.out, f.File); err != nil {
			return err
		}
	}
	return nil
}
