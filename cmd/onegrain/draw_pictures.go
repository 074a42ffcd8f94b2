package main

import (
	"fmt"
	"io"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"onegrain/analysis/chart"
	"onegrain/analysis/chart/graph"
	"onegrain/analysis/chart/paper"
	"onegrain/sim"
	"onegrain/sim/measure"
	"onegrain/studies"
	"onegrain/studies/disk"
)

// gallery is one run with all that its pictures are made from.
type gallery struct {
	*drawing
	study   *studies.Study
	planned studies.Planned
	outcome *sim.Outcome
	survey  *measure.Survey
	cells   *chart.Cells
	sheet   chart.Sheet
	run     measure.Run
	worth   *worth // nil for a vertical section
	files   []shown
}

// picture is one kind of picture. Those that do not fit a body (a corner of a plane, say) are left out where all are wanted.
type picture struct {
	name string
	fits func(g *gallery) bool
	draw func(g *gallery, w io.Writer) (string, error)
}

func always(*gallery) bool        { return true }
func (g *gallery) isSolid() bool  { return g.cells.Flat < 0 }
func (g *gallery) isMagnet() bool { return g.worth != nil }
func (g *gallery) isStrip() bool  { return g.worth != nil && g.worth.cut != nil }

// pictures are all kinds, in the order in which they are written.
func pictures() []picture {
	body := func(kind string, fits func(*gallery) bool) picture {
		return picture{kind, fits, func(g *gallery, w io.Writer) (string, error) {
			return chart.Draw(w, kind, g.cells, g.sheet)
		}}
	}
	return []picture{
		body("grains", always),
		body("sectors", always),
		body("arrival", always),
		body("corner", (*gallery).isSolid),
		body("corner-sectors", (*gallery).isSolid),
		body("boundaries", always),
		{"programme", always, (*gallery).drawProgramme},
		{"history", always, (*gallery).drawHistory},
		{"trapped-field", (*gallery).isMagnet, func(g *gallery, w io.Writer) (string, error) {
			return g.worth.drawField(w, g.sheet.Format, "Trapped field", g.caption())
		}},
		{"strip", (*gallery).isStrip, func(g *gallery, w io.Writer) (string, error) {
			return g.worth.drawStrip(w, g, "Weakest cut for a current along x")
		}},
	}
}

// usualPictures are made where nothing else is asked for.
func usualPictures() []string { return []string{"grains", "sectors", "arrival"} }

// checkPictures finds names that no picture has, and sections that are no planes.
func (d *drawing) checkPictures() error {
	names := []string{"all"}
	for _, p := range pictures() {
		names = append(names, p.name)
	}
	for _, name := range d.pictures {
		if !slices.Contains(names, name) {
			return usage(fmt.Errorf("--pictures %s: wanted one or more of %s, with commas between", name, strings.Join(names, ", ")))
		}
	}
	_, err := d.cuts()
	return err
}

// cuts are the planes that --section asks for.
func (d *drawing) cuts() (list []chart.Cut, err error) {
	for _, text := range d.sections {
		axis, place, found := strings.Cut(strings.ReplaceAll(text, " ", ""), "=")
		at, bad := strconv.ParseFloat(place, 64)
		n := strings.Index("xyz", axis)
		if !found || bad != nil || len(axis) != 1 || n < 0 || math.IsNaN(at) || math.IsInf(at, 0) {
			return nil, usage(fmt.Errorf("--section %s: wanted an axis and a place on it in mm, such as y=2.5", text))
		}
		list = append(list, chart.Cut{Axis: n, AtMM: at})
	}
	if len(list) > 3 {
		return nil, usage(fmt.Errorf("--section is given %d times: three planes have room on a picture", len(list)))
	}
	return list, nil
}

// checkCuts finds planes that miss the body.
func (g *gallery) checkCuts(cuts []chart.Cut) error {
	c := g.cells
	for i, k := range cuts {
		if c.Flat >= 0 {
			return usage(fmt.Errorf("--section %s: the body of this study is two-dimensional and is shown whole", g.sections[i]))
		}
		low := c.Origin[k.Axis] - c.CellMM/2
		if high := low + float64(c.N[k.Axis])*c.CellMM; k.AtMM < low || k.AtMM > high {
			return usage(fmt.Errorf("--section %s: the body reaches from %.4g to %.4g mm along %c", g.sections[i], low, high, "xyz"[k.Axis]))
		}
	}
	return nil
}

// prepare gathers what the pictures tell beside the cells.
func (g *gallery) prepare(note string) error {
	boundaries := g.survey.Boundaries()
	g.sheet.Title, g.sheet.Note, g.sheet.AtH = g.study.Title, note, g.atH
	g.sheet.LowAngle, g.sheet.AngleDeg, g.sheet.JoinDeg = lowAngle(boundaries), angles(boundaries), g.planned.JoinDeg
	if g.format == "svg" {
		g.sheet.Format = paper.SVG
	}
	e, err := g.study.Explain(g.planned.Index)
	if err != nil {
		return err
	}
	g.run = g.survey.Run()
	g.sheet.Clear.AtMM, g.sheet.Clear.DiameterMM = g.survey.ClearDisc()
	g.sheet.Programme = courseOf(g.outcome.Case, e)
	if g.sheet.Cuts, err = g.cuts(); err != nil {
		return err
	}
	if err := g.checkCuts(g.sheet.Cuts); err != nil {
		return err
	}
	if g.worth, err = worthOf(g.outcome, g.cells, g.survey, g.planned.Magnet()); err != nil {
		return err
	}
	return g.checkFits()
}

// checkFits finds pictures that were asked for by name and that the body of the study has not, before anything is written.
func (g *gallery) checkFits() error {
	for _, p := range pictures() {
		if slices.Contains(g.pictures, p.name) && !p.fits(g) {
			return usage(fmt.Errorf("--pictures %s: the body of this study has none; `onegrain help draw` says which bodies have one", p.name))
		}
	}
	return nil
}

// angles tells the disorientation of touching grains, in degrees.
func angles(boundaries []measure.Boundary) func(p, q int32) float64 {
	deg := map[[2]int32]float64{}
	for _, b := range boundaries {
		deg[[2]int32{int32(b.Grain1), int32(b.Grain2)}] = b.DisorientationDeg
	}
	return func(p, q int32) float64 { return deg[[2]int32{min(p, q), max(p, q)}] }
}

// write makes the pictures whose names begin with base, and notes them.
func (g *gallery) write(on disk.Disk, base string) error {
	if err := disk.MkdirAll(on, g.dir); err != nil {
		return err
	}
	for _, p := range pictures() {
		if !p.fits(g) || !slices.Contains(g.pictures, p.name) && !slices.Contains(g.pictures, "all") {
			continue
		}
		if err := g.file(on, base+"-"+p.name+"."+g.format, p.name, func(w io.Writer) (string, error) { return p.draw(g, w) }); err != nil {
			return err
		}
	}
	if g.frames > 0 {
		lapse := func(w io.Writer) (string, error) { return chart.TimeLapse(w, g.cells, g.sheet, g.frames) }
		if err := g.file(on, base+"-growth.gif", "time-lapse", lapse); err != nil {
			return err
		}
	}
	if g.vti {
		return g.file(on, base+".vti", "volume", func(w io.Writer) (string, error) { return "", chart.WriteVTI(w, g.cells) })
	}
	return nil
}

// file writes one file and notes it with what it shows.
func (g *gallery) file(on disk.Disk, name, kind string, draw func(io.Writer) (string, error)) error {
	var alt string
	err := disk.Put(on, g.dir, name, func(w io.Writer) (err error) {
		alt, err = draw(w)
		return err
	})
	if err == nil {
		g.files = append(g.files, shown{filepath.Join(g.dir, name), kind, alt})
	}
	return err
}

// marks are the hours of a run worth a word.
func (g *gallery) marks() (list []graph.Mark) {
	if start := g.survey.GrowthStartH(); !math.IsInf(start, 0) {
		list = append(list, graph.Mark{At: start, Text: "growth begins"})
	}
	for _, o := range g.outcome.Grains {
		if o.Seed < 0 {
			list = append(list, graph.Mark{At: o.BornH, Text: "first stray"})
			break
		}
	}
	if full := g.run.TimeToFullH; full > 0 {
		list = append(list, graph.Mark{At: full, Text: "all solid"})
	}
	return list
}

// caption is the study and the case, for charts that have a title of their own.
func (g *gallery) caption() string {
	return strings.TrimPrefix(g.sheet.Title+"; "+g.sheet.Note, "; ")
}
