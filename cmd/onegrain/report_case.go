package main

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strings"

	"onegrain/analysis/chart"
	"onegrain/analysis/chart/graph"
	"onegrain/analysis/chart/paper"
	"onegrain/analysis/report"
	"onegrain/sim"
	"onegrain/sim/measure"
	"onegrain/studies"
)

// mostReportCells of a body are grown again for pictures: some seconds. More are left to `onegrain draw`.
const mostReportCells = 12_000_000

// lapseFrames of the time-lapse, and the most bytes it may have.
const (
	lapseFrames = 16
	mostLapse   = 3 << 19
)

// look looks closely at the best case, or at the first where none is best: its programme, and one run grown again.
func (r *reporting) look(s streams, from *report.Sources, study *studies.Study, a *album) error {
	p, why := find(from, study)
	if why != "" {
		from.NoCase = why
		return nil
	}
	e, err := study.Explain(p.Index)
	if err != nil {
		from.NoCase = firstLine(err)
		return nil
	}
	shown := &report.Shown{Name: caseForPeople(study, p, from), Best: from.Findings.Best != nil, Stages: stagesOf(e), Margins: marginsOf(e)}
	from.Shown = shown
	c, err := p.Case()
	if err != nil {
		from.Shown, from.NoCase = nil, firstLine(err)
		return nil
	}
	switch {
	case r.noPictures:
		shown.Why = "--no-pictures was given"
	case e.MostCells > mostReportCells:
		shown.Why = fmt.Sprintf("the body has %.3g million cells, and growing it again would take long; `onegrain draw` with --case %d does it", float64(e.MostCells)/1e6, p.Index+1)
	default:
		shown.Replicate = max(1, replicateOf(from))
		s.say("growing %s, replicate %d again", shown.Name, shown.Replicate)
		return grow(study, p, c, shown, a)
	}
	course := courseOf(c, e)
	return a.add("programme", "programme", captionProgramme, graph.Programme{Title: "Furnace programme", TimeH: course.TimeH, UndercoolingK: course.UndercoolingK, PeritecticC: course.PeritecticC}.Draw)
}

// caseForPeople names a case by its settings in words.
func caseForPeople(study *studies.Study, p studies.Planned, from *report.Sources) string {
	name := fmt.Sprintf("case %d of %d", p.Index+1, study.Cases())
	if text := from.Settings(p.ID); text != "" {
		name += ": " + text
	}
	return name
}

func replicateOf(from *report.Sources) int {
	if b := from.Findings.Best; b != nil {
		return b.Replicate
	}
	return 0
}

// find is the case to look at; why says what is in the way.
func find(from *report.Sources, study *studies.Study) (p studies.Planned, why string) {
	id := firstID(from)
	for i := range study.Cases() {
		p, err := study.Plan(i)
		if err != nil {
			return p, firstLine(err)
		}
		if p.ID == id {
			return p, ""
		}
	}
	return p, "the results are of another version of the study or of the model"
}

// firstID is the best case, or the first one.
func firstID(from *report.Sources) string {
	if b := from.Findings.Best; b != nil {
		return b.ID
	}
	for _, sl := range from.Findings.Window.Slices {
		for _, p := range sl.Points {
			return p.ID
		}
	}
	return ""
}

func firstLine(err error) string {
	text, _, _ := strings.Cut(err.Error(), "\n")
	return strings.TrimSuffix(text, ".")
}

func stagesOf(e studies.Explanation) (all []report.Stage) {
	for _, row := range e.Schedule {
		all = append(all, report.Stage{Stage: row.Stage, TimeH: row.TimeH, TemperatureC: row.TemperatureC, UndercoolingK: row.UndercoolingK, AlongA: row.GrownAMM, Down: row.GrownCMM})
	}
	return all
}

func marginsOf(e studies.Explanation) (all []string) {
	if e.Gradient != "" {
		all = append(all, "Under a gradient "+e.Gradient+".")
	}
	for _, m := range e.Seeds {
		if !math.IsInf(m.PeritecticC, 0) {
			all = append(all, fmt.Sprintf("%s: the hottest moment stays %.0f K below the %.0f °C at which the seed itself would dissolve.", m.Seed, m.MarginK, m.PeritecticC))
		}
	}
	return all
}

// courseOf is the programme as charts want it.
func courseOf(c *sim.Case, e studies.Explanation) *chart.Programme {
	course := &chart.Programme{PeritecticC: e.Schedule[0].TemperatureC + e.Schedule[0].UndercoolingK}
	for _, k := range c.Programme.Knots {
		course.TimeH, course.UndercoolingK = append(course.TimeH, k.TimeH), append(course.UndercoolingK, k.UndercoolingK)
	}
	return course
}

// grow grows one run again and draws it.
func grow(study *studies.Study, p studies.Planned, c *sim.Case, shown *report.Shown, a *album) error {
	key := p.Key(shown.Replicate)
	o := sim.Seeded(c, key).Strays(key)
	d := &drawing{n: p.Index + 1, replicate: shown.Replicate, format: "png"}
	g := &gallery{drawing: d, study: study, planned: p, outcome: o, survey: measure.Look(o, p.JoinDeg), cells: cellsOf(o)}
	if err := g.prepare(fmt.Sprintf("%s, replicate %d", shown.Name, shown.Replicate)); err != nil {
		return err
	}
	shown.Run = runFacts(g.run)
	if g.worth != nil {
		shown.Magnet, shown.Assumed = g.worth.facts(), g.worth.Assumes
	}
	for _, one := range reportPictures() {
		for _, kind := range pictures() {
			if kind.name != one.name || !kind.fits(g) || one.needs != nil && !one.needs(g) {
				continue
			}
			if err := a.add(one.section, one.name, one.caption, g.in(kind)); err != nil {
				return err
			}
		}
	}
	return g.lapse(a)
}

// in draws one kind of picture in any format.
func (g *gallery) in(kind picture) func(io.Writer, paper.Format) (string, error) {
	return func(w io.Writer, format paper.Format) (string, error) {
		g.sheet.Format = format
		return kind.draw(g, w)
	}
}

// reported is a picture as it stands in the report.
type reported struct {
	name, section, caption string
	needs                  func(g *gallery) bool
}

func (g *gallery) severalGrains() bool { return len(g.survey.Boundaries()) > 0 }
func (g *gallery) oneGrain() bool      { return g.anySolid() && !g.severalGrains() }
func (g *gallery) anySolid() bool      { return g.run.SolidFraction > 0 }

const captionProgramme = "What the furnace does: temperature at the body, and undercooling below the peritectic temperature, against time."

func reportPictures() []reported {
	return []reported{
		{"programme", "programme", captionProgramme, nil},
		{"corner-sectors", "pictures", "The body from a corner, the quarter before the seed cut out: growth sectors, each grown by one face of the crystal.", (*gallery).oneGrain},
		{"corner", "pictures", "The body from a corner, the quarter before the seed cut out: seeded grains in cool colours, strays in warm ones and hatched.", (*gallery).severalGrains},
		{"grains", "pictures", "Which grain is where; planes through the body as the picture names them.", nil},
		{"sectors", "pictures", "Growth sectors: which face of the crystal has grown what. Properties differ between sectors, and the facet lines between them are seen on the grown body.", (*gallery).anySolid},
		{"arrival", "pictures", "When the growth front came by, in hours from the start of the programme, with the undercooling then.", (*gallery).anySolid},
		{"boundaries", "pictures", "Boundaries between grains by the angle between the crystals; those that join are blue and hollow.", (*gallery).severalGrains},
		{"history", "pictures", "The run over time: width of the grain, share that is solid, strays.", (*gallery).anySolid},
		{"trapped-field", "field", "Field of the fully magnetised body above its top face.", nil},
		{"strip", "field", "Where a current along the body is limited: the weakest cut through the grain map.", nil},
	}
}

// lapse is the growth as moving pictures, where these are not too large for a page.
func (g *gallery) lapse(a *album) error {
	if !g.anySolid() {
		return nil
	}
	var b bytes.Buffer
	alt, err := chart.TimeLapse(&b, g.cells, g.sheet, lapseFrames)
	if err != nil {
		return err
	}
	f := report.Figure{Caption: "The growth as moving pictures, the furnace programme below", Alt: alt, Kind: "image/gif", Image: b.Bytes(), Moves: true}
	if err := a.save(&f, "growth.gif", b.Bytes()); err != nil {
		return err
	}
	if b.Len() > mostLapse || a.carried+b.Len() > mostCarried {
		return nil
	}
	return a.keep("pictures", f)
}

// runFacts is the headline of a run.
func runFacts(r measure.Run) []report.Fact {
	single := "no"
	if r.SingleGrain {
		single = "yes"
	}
	all := []report.Fact{{Name: "Single grain", Value: single}, {Name: "Clear piece", Value: fmt.Sprintf("%.1f mm across, %.1f mm as a square along the crystal", r.ClearDiameterMM, r.ClearSquareMM)},
		{Name: "Solid at the end", Value: fmt.Sprintf("%.1f %%", math.Floor(1000*r.SolidFraction)/10)}, {Name: "Stray grains", Value: fmt.Sprint(r.StrayGrains)}}
	if r.StrayGrains > 0 {
		all = append(all, report.Fact{Name: "First stray", Value: fmt.Sprintf("after %.1f h, at %.1f K of undercooling", r.FirstStrayH, r.FirstStrayUndercoolingK)})
	}
	return all
}

// facts of a worth, for people.
func (w *worth) facts() []report.Fact {
	at := fmt.Sprintf("%g mm above the top face, critical current %g A/mm², %.3g mm thick", w.HeightMM, w.CurrentAPerMM2, w.ThicknessMM)
	all := []report.Fact{{Name: "Conditions", Value: at}}
	if len(w.Peaks) == 0 {
		all = append(all, report.Fact{Name: "Trapped field", Value: fmt.Sprintf("none, for no column is of one domain (one grain would have %.3g T)", w.WholeT)})
	} else {
		all = append(all, report.Fact{Name: "Trapped field", Value: fmt.Sprintf("%.3g T at most, %s (one grain: %.3g T)", w.PeakT, plural(len(w.Peaks), "peak"), w.WholeT)},
			report.Fact{Name: "Magnetic moment", Value: fmt.Sprintf("%.3g %% of that of one grain", 100*w.MomentAM2/w.WholeAM2)})
	}
	if math.Abs(w.PassingT-w.PeakT) > w.ResolutionT {
		all = append(all, report.Fact{Name: "With currents through boundaries", Value: fmt.Sprintf("%.3g T at most, %s", w.PassingT, plural(w.PassingPeaks, "peak"))})
	}
	if w.AlongX != nil && w.AlongY != nil {
		all = append(all, report.Fact{Name: "Current along the body", Value: fmt.Sprintf("at most %.3g %% along x and %.3g %% along y of that of one grain", 100**w.AlongX, 100**w.AlongY)})
	}
	return all
}
