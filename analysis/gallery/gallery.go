package gallery

import (
	"io"
	"strings"

	"onegrain/analysis/chart"
	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/scene"
	"onegrain/sim"
	"onegrain/studies/again"
)

// Format of a picture: PNG or SVG, as package paper has them.
type Format = paper.Format

// The formats, by their endings.
const (
	PNG = paper.PNG
	SVG = paper.SVG
)

// Cut is a plane through the body.
type Cut = scene.Cut

// Gallery is a run with what its pictures have in common.
type Gallery struct {
	*again.Grown
	Weighed *again.Magnet // nil for a vertical section

	cells *scene.Cells
	sheet chart.Sheet
}

// New takes a run, a line on what it is, the hour at which it is shown (0 = at its end) and the
// planes to show instead of the usual ones.
func New(run *again.Grown, note string, atH float64, cuts []Cut) (*Gallery, error) {
	g := &Gallery{Grown: run, cells: cellsOf(run.Outcome, run.Cells)}
	var err error
	if g.Weighed, err = run.Magnet(); err != nil {
		return nil, err
	}
	s := &g.sheet
	s.Title, s.Note, s.AtH, s.JoinDeg, s.Cuts = run.Planned.Study.Title, note, atH, run.Planned.JoinDeg, cuts
	s.LowAngle = func(p, q int32) bool { b, _ := run.Boundary(p, q); return b.LowAngle }
	s.AngleDeg = func(p, q int32) float64 { b, _ := run.Boundary(p, q); return b.DisorientationDeg }
	s.Clear.AtMM, s.Clear.DiameterMM = run.Survey.ClearDisc()
	s.Programme = programmeOf(run.Outcome.Case, run.Planned.PeritecticC())
	return g, nil
}

// cellsOf are the cells of a run as package chart wants them.
func cellsOf(o *sim.Outcome, of *again.Cells) *scene.Cells {
	grid := o.Case.Grid
	c := &scene.Cells{N: grid.N, CellMM: grid.CellMM, Origin: grid.Origin, Flat: grid.Flat,
		Grain: of.Grain, Sector: of.Sector, TimeH: of.TimeH}
	for _, grain := range o.Grains {
		info := scene.Grain{Seeded: grain.Seed >= 0, Origin: grain.Origin.String(), AtMM: grain.AtMM,
			Axes: grain.Orientation.Axes()}
		if info.Seeded {
			info.SizeMM = o.Case.Seeds[grain.Seed].SizeMM
		}
		c.Grains = append(c.Grains, info)
	}
	return c
}

// VolumeOf writes the whole field of a run as a volume for other programs, see chart.WriteVTI.
func VolumeOf(w io.Writer, o *sim.Outcome) error {
	return chart.WriteVTI(w, cellsOf(o, again.CellsOf(o)))
}

// Volume writes the whole field of the run, see chart.WriteVTI.
func (g *Gallery) Volume(w io.Writer) error { return chart.WriteVTI(w, g.cells) }

// Lapse writes the growth as moving pictures, see chart.TimeLapse.
func (g *Gallery) Lapse(w io.Writer, frames int) (alt string, err error) {
	return chart.TimeLapse(w, g.cells, g.sheet, frames)
}

// caption is the study and the case, for charts that have a title of their own.
func (g *Gallery) caption() string {
	return strings.TrimPrefix(g.sheet.Title+"; "+g.sheet.Note, "; ")
}

// AnySolid tells whether anything has grown.
func (g *Gallery) AnySolid() bool { return g.Run.SolidFraction > 0 }

func (g *Gallery) oneGrain() bool { return g.AnySolid() && !g.SeveralGrains() }
func (g *Gallery) isSolid() bool  { return g.cells.Flat < 0 }
func (g *Gallery) isMagnet() bool { return g.Weighed != nil }
func (g *Gallery) isStrip() bool  { return g.isMagnet() && g.Weighed.Cut != nil }
