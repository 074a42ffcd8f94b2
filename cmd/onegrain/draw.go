package main

import (
	"fmt"
	"io"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"onegrain/analysis/gallery"
	"onegrain/studies/again"
	"onegrain/studies/disk"
)

// drawing is what the options of `draw` say.
type drawing struct {
	n, replicate  int
	dir, format   string
	atH           float64
	frames        int
	vti, noStrays bool
	asJSON        *bool
	pictures      []string
	sections      []string
	cuts          []gallery.Cut // that sections ask for
}

func drawCommand(s streams) *cobra.Command {
	var d drawing
	c := command("draw STUDY.toml", func(_ *cobra.Command, args []string) error { return d.run(s, args[0]) })
	f := c.Flags()
	caseFlag(c, &d.n)
	f.IntVar(&d.replicate, "replicate", 1, "`number` of the replicate, from 1")
	f.StringVar(&d.dir, "out", ".", "`folder` for the pictures")
	f.StringVar(&d.format, "format", "png", "`kind` of picture, png or svg")
	f.StringSliceVar(&d.pictures, "pictures", []string{"grains", "sectors", "arrival"},
		"`kinds` of picture, with commas between, or all")
	f.StringArrayVar(&d.sections, "section", nil,
		"`plane` to show instead of the usual ones, such as y=2.5 in mm; up to three times")
	f.Float64Var(&d.atH, "at", 0, "the body as it was at this `hour` of the programme (default: at its end)")
	f.IntVar(&d.frames, "frames", 0, "also a time-lapse of this `number` of frames, 2 to 200")
	f.BoolVar(&d.vti, "vti", false, "also the volume for 3D viewers, as .vti")
	f.BoolVar(&d.noStrays, "no-strays", false, "draw the run without strays, from which the exact odds come")
	d.asJSON = jsonFlag(c)
	return c
}

// check refuses options that no study could take.
func (d *drawing) check() error {
	names := []string{"all"}
	for _, k := range gallery.Kinds() {
		names = append(names, k.Name)
	}
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
	for _, name := range d.pictures {
		if !slices.Contains(names, name) {
			return usage(fmt.Errorf("--pictures %s: wanted one or more of %s, with commas between",
				name, strings.Join(names, ", ")))
		}
	}
	for _, text := range d.sections {
		axis, place, found := strings.Cut(strings.ReplaceAll(text, " ", ""), "=")
		at, bad := strconv.ParseFloat(place, 64)
		n := strings.Index("xyz", axis)
		if !found || bad != nil || len(axis) != 1 || n < 0 || math.IsNaN(at) || math.IsInf(at, 0) {
			return usage(fmt.Errorf("--section %s: wanted an axis and a place on it in mm, such as y=2.5", text))
		}
		d.cuts = append(d.cuts, gallery.Cut{Axis: n, AtMM: at})
	}
	if len(d.cuts) > 3 {
		return usage(fmt.Errorf("--section is given %d times: three planes have room on a picture", len(d.cuts)))
	}
	return nil
}

func (d *drawing) run(s streams, path string) error {
	if err := d.check(); err != nil {
		return err
	}
	p, err := loadCase(path, d.n)
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
	note := fmt.Sprintf("%s, replicate %d", named(p), d.replicate)
	s.say("%s", note)
	grown, err := again.Grow(p, d.replicate, !d.noStrays)
	if err != nil {
		return err
	}
	if err := d.checkCuts(grown); err != nil {
		return err
	}
	g, err := gallery.New(grown, note, d.atH, d.cuts)
	if err != nil {
		return err
	}
	files, err := d.write(s.on(), g, fmt.Sprintf("%s-case-%d-replicate-%d", studyName(path), d.n, d.replicate))
	if err != nil {
		return err
	}
	if *d.asJSON {
		return printJSON(s.out, newDrawn(g, files))
	}
	for _, line := range g.Says() {
		s.say("%s", line)
	}
	for _, f := range files {
		if _, err := fmt.Fprintln(s.out, f.File); err != nil {
			return err
		}
	}
	return nil
}

// checkCuts finds planes that miss the body.
func (d *drawing) checkCuts(run *again.Grown) error {
	grid := run.Outcome.Case.Grid
	for i, k := range d.cuts {
		if grid.Flat >= 0 {
			return usage(fmt.Errorf("--section %s: the body of this study is two-dimensional and is shown whole", d.sections[i]))
		}
		low := grid.Origin[k.Axis] - grid.CellMM/2
		if high := low + float64(grid.N[k.Axis])*grid.CellMM; k.AtMM < low || k.AtMM > high {
			return usage(fmt.Errorf("--section %s: the body reaches from %.4g to %.4g mm along %c",
				d.sections[i], low, high, "xyz"[k.Axis]))
		}
	}
	return nil
}

// write makes the pictures whose names begin with base. Those that were asked for by name and that
// the body has not are found before anything is written.
func (d *drawing) write(on disk.Disk, g *gallery.Gallery, base string) (files []shown, err error) {
	for _, k := range gallery.Kinds() {
		if slices.Contains(d.pictures, k.Name) && !g.Fits(k) {
			return nil, usage(fmt.Errorf("--pictures %s: the body of this study has none; `onegrain help draw` says which "+
				"bodies have one", k.Name))
		}
	}
	if err := disk.MkdirAll(on, d.dir); err != nil {
		return nil, err
	}
	file := func(ending, kind string, draw func(io.Writer) (string, error)) {
		if err != nil {
			return
		}
		f := shown{filepath.Join(d.dir, base+ending), kind, ""}
		err = disk.Put(on, d.dir, base+ending, func(w io.Writer) (err error) {
			f.Shows, err = draw(w)
			return err
		})
		files = append(files, f)
	}
	format := map[string]gallery.Format{"png": gallery.PNG, "svg": gallery.SVG}[d.format]
	for _, k := range gallery.Kinds() {
		if g.Fits(k) && (slices.Contains(d.pictures, k.Name) || slices.Contains(d.pictures, "all")) {
			file("-"+k.Name+"."+d.format, k.Name, func(w io.Writer) (string, error) { return g.Draw(k, w, format) })
		}
	}
	if d.frames > 0 {
		file("-growth.gif", "time-lapse", func(w io.Writer) (string, error) { return g.Lapse(w, d.frames) })
	}
	if d.vti {
		file(".vti", "volume", func(w io.Writer) (string, error) { return "", g.Volume(w) })
	}
	return files, err
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
	Magnet    *again.Magnet  `json:"magnet,omitempty"`
	Files     []string       `json:"files"`
	Pictures  []shown        `json:"pictures"`
}

// shown is a file with what is seen on it, for those who do not see it.
type shown struct {
	File  string `json:"file"`
	Kind  string `json:"kind"`
	Shows string `json:"shows"`
}

func newDrawn(g *gallery.Gallery, files []shown) drawn {
	run := g.Run
	d := drawn{g.Planned.Index + 1, g.Replicate, g.Planned.Varied(), run.SingleGrain, run.ClearDiameterMM,
		run.SolidFraction, run.StrayGrains, g.Weighed, []string{}, []shown{}}
	for _, f := range files {
		d.Files = append(d.Files, f.File)
		if f.Shows != "" {
			d.Pictures = append(d.Pictures, f)
		}
	}
	return d
}
