package main

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"math"
	"runtime"
	"strings"

	"onegrain/analysis/gallery"
	"onegrain/analysis/report"
	"onegrain/analysis/report/plots"
	"onegrain/studies"
	"onegrain/studies/again"
	"onegrain/studies/run"
)

// mostReportCells of a body are grown again for pictures: some seconds. More are left to `onegrain
// draw`.
const mostReportCells = 12_000_000

// lapseFrames of the time-lapse.
const lapseFrames = 16

// look looks closely at the best case, or at the first where none is best: its programme, and one
// run grown again. What is in the way stands in NoCase.
func (r *reporting) look(s streams, from *report.Sources, study *studies.Study, a *plots.Album) error {
	best := from.Findings.Best
	shown := &report.Shown{Best: best != nil, Replicate: 1}
	id := ""
	for _, slice := range from.Findings.Window.Slices {
		for _, point := range slice.Points {
			id = cmp.Or(id, point.ID)
		}
	}
	if best != nil {
		id, shown.Replicate = best.ID, max(1, best.Replicate)
	}
	i, found := run.Identities(study, studies.ModelVersion, runtime.GOMAXPROCS(0))[id]
	if !found {
		from.NoCase = "the results are of another version of the study or of the model"
		return nil
	}
	p, err := study.Plan(i)
	var e studies.Explanation
	if err == nil {
		e, err = study.Explain(i)
	}
	if err != nil {
		from.NoCase = firstLine(err)
		return nil
	}
	from.Shown, shown.Name = shown, fmt.Sprintf("case %d of %d", i+1, study.Cases())
	if text := from.Settings(p.ID); text != "" {
		shown.Name += ": " + text
	}
	describe(shown, e)
	switch {
	case r.noPictures:
		shown.Why = "--no-pictures was given"
	case e.MostCells > mostReportCells:
		shown.Why = fmt.Sprintf("the body has %.3g million cells, and growing it again would take long; `onegrain draw` with "+
			"--case %d does it", float64(e.MostCells)/1e6, i+1)
	default:
		s.say("growing %s, replicate %d again", shown.Name, shown.Replicate)
		return pictures(p, shown, a)
	}
	shown.Replicate = 0
	c, err := p.Case()
	if err != nil {
		return err
	}
	return a.Add(plots.Plot{Name: "programme", Section: "programme", Caption: gallery.ProgrammeCaption,
		Draw: gallery.Programme(c, p.PeritecticC())})
}

func firstLine(err error) string {
	text, _, _ := strings.Cut(err.Error(), "\n")
	return strings.TrimSuffix(text, ".")
}

// describe says the programme, and how far the seeds stay from dissolving.
func describe(shown *report.Shown, e studies.Explanation) {
	for _, r := range e.Schedule {
		shown.Stages = append(shown.Stages, report.Stage{Stage: r.Stage, TimeH: r.TimeH, TemperatureC: r.TemperatureC,
			UndercoolingK: r.UndercoolingK, AlongA: r.GrownAMM, Down: r.GrownCMM})
	}
	if e.Gradient != "" {
		shown.Margins = append(shown.Margins, "Under a gradient "+e.Gradient+".")
	}
	for _, m := range e.Seeds {
		if !math.IsInf(m.PeritecticC, 0) {
			shown.Margins = append(shown.Margins, fmt.Sprintf("%s: the hottest moment stays %.0f K below the %.0f °C at which "+
				"the seed itself would dissolve.", m.Seed, m.MarginK, m.PeritecticC))
		}
	}
}

// pictures grows one run again and draws it.
func pictures(p studies.Planned, shown *report.Shown, a *plots.Album) error {
	grown, err := again.Grow(p, shown.Replicate, true)
	if err != nil {
		return err
	}
	g, err := gallery.New(grown, fmt.Sprintf("%s, replicate %d", shown.Name, shown.Replicate), 0, nil)
	if err != nil {
		return err
	}
	shown.Run = runFacts(g)
	if m := g.Weighed; m != nil {
		shown.Magnet, shown.Assumed = magnetFacts(m), m.Assumes
	}
	for _, k := range g.Reported() {
		draw := func(w io.Writer, f gallery.Format) (string, error) { return g.Draw(k, w, f) }
		if err := a.Add(plots.Plot{Name: k.Name, Section: k.Section, Caption: k.Caption, Draw: draw}); err != nil {
			return err
		}
	}
	if !g.AnySolid() {
		return nil
	}
	var b bytes.Buffer
	alt, err := g.Lapse(&b, lapseFrames)
	if err != nil {
		return err
	}
	return a.Film("pictures", "growth", "The growth as moving pictures, the furnace programme below", alt, b.Bytes())
}

// runFacts is the headline of a run.
func runFacts(g *gallery.Gallery) []report.Fact {
	r, single := g.Run, "no"
	if r.SingleGrain {
		single = "yes"
	}
	all := []report.Fact{
		{Name: "Single grain", Value: single},
		{Name: "Clear piece", Value: fmt.Sprintf("%.1f mm across, %.1f mm as a square along the crystal",
			r.ClearDiameterMM, r.ClearSquareMM)},
		{Name: "Solid at the end", Value: fmt.Sprintf("%.1f %%", math.Floor(1000*r.SolidFraction)/10)},
		{Name: "Stray grains", Value: fmt.Sprint(r.StrayGrains)},
	}
	if r.StrayGrains > 0 {
		all = append(all, report.Fact{Name: "First stray", Value: fmt.Sprintf("after %.1f h, at %.1f K of undercooling",
			r.FirstStrayH, r.FirstStrayUndercoolingK)})
	}
	return all
}

// magnetFacts is what the run traps and carries.
func magnetFacts(m *again.Magnet) (all []report.Fact) {
	add := func(name, format string, values ...any) {
		all = append(all, report.Fact{Name: name, Value: fmt.Sprintf(format, values...)})
	}
	add("Conditions", "%g mm above the top face, critical current %g A/mm², %.3g mm thick",
		m.HeightMM, m.CurrentAPerMM2, m.ThicknessMM)
	if len(m.Peaks) == 0 {
		add("Trapped field", "none, for no column is of one domain (one grain would have %.3g T)", m.WholeT)
	} else {
		add("Trapped field", "%.3g T at most, %s (one grain: %.3g T)", m.PeakT, plural(len(m.Peaks), "peak"), m.WholeT)
		add("Magnetic moment", "%.3g %% of that of one grain", 100*m.MomentAM2/m.WholeAM2)
	}
	if m.Passes() {
		add("With currents through boundaries", "%.3g T at most, %s", m.PassingT, plural(m.PassingPeaks, "peak"))
	}
	if m.AlongX != nil && m.AlongY != nil {
		add("Current along the body", "at most %.3g %% along x and %.3g %% along y of that of one grain",
			100**m.AlongX, 100**m.AlongY)
	}
	return all
}
