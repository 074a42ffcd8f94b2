package whole

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"strings"

	"onegrain/analysis/gallery"
	"onegrain/analysis/report"
	"onegrain/analysis/report/plots"
	"onegrain/studies"
	"onegrain/studies/again"
)

// mostReportCells of a body are grown again for pictures: some seconds. More are left to `onegrain
// draw`.
const mostReportCells = 12_000_000

// lapseFrames of the time-lapse.
const lapseFrames = 16

// look looks closely at the best case, or at the first where none is best: its programme, and one
// run grown again. What is in the way stands in NoCase.
func (r *Report) look() error {
	best := r.from.Findings.Best
	shown := &report.Shown{Best: best != nil, Replicate: 1}
	id := ""
	for _, slice := range r.from.Findings.Window.Slices {
		for _, point := range slice.Points {
			id = cmp.Or(id, point.ID)
		}
	}
	if best != nil {
		id, shown.Replicate = best.ID, max(1, best.Replicate)
	}
	i, found := r.Case(id)
	if !found {
		r.from.NoCase = "the results are of another version of the study or of the model"
		return nil
	}
	p, err := r.Study.Plan(i)
	var e studies.Explanation
	if err == nil {
		e, err = r.Study.Explain(i)
	}
	if err != nil {
		r.from.NoCase = firstLine(err)
		return nil
	}
	r.from.Shown, shown.Name = shown, fmt.Sprintf("case %d of %d", i+1, r.Study.Cases())
	if text := r.from.Settings(p.ID); text != "" {
		shown.Name += ": " + text
	}
	describe(shown, e)
	switch {
	case r.NoPictures:
		shown.Why = "--no-pictures was given"
	case e.MostCells > mostReportCells:
		shown.Why = fmt.Sprintf("the body has %.3g million cells, and growing it again would take long; `onegrain draw` "+
			"with --case %d does it", float64(e.MostCells)/1e6, i+1)
	default:
		r.Say("growing %s, replicate %d again", shown.Name, shown.Replicate)
		return r.pictures(p, shown)
	}
	shown.Replicate = 0
	c, err := p.Case()
	if err != nil {
		return err
	}
	return r.album.Add(plots.Plot{Name: "programme", Section: "programme", Caption: gallery.Caption("programme"),
		Draw: gallery.Programme(c, p.PeritecticC())})
}

// firstLine is an error as a part of a sentence.
func firstLine(err error) string {
	text, _, _ := strings.Cut(err.Error(), "\n")
	return strings.TrimSuffix(text, ".")
}

// describe says the programme, and how far the seeds stay from dissolving.
func describe(shown *report.Shown, e studies.Explanation) {
	shown.Stages = e.Schedule
	if e.Gradient != "" {
		shown.Margins = append(shown.Margins, "Under a gradient "+e.Gradient+".")
	}
	for _, m := range e.Seeds {
		if m.PeritecticC != nil {
			shown.Margins = append(shown.Margins, fmt.Sprintf("%s: the hottest moment stays %.0f K below the %.0f °C at which "+
				"the seed itself would dissolve.", m.Seed, *m.MarginK, *m.PeritecticC))
		}
	}
}

// pictures grows one run again and draws it.
func (r *Report) pictures(p studies.Planned, shown *report.Shown) error {
	grown, err := again.Grow(p, shown.Replicate, true)
	if err != nil {
		return err
	}
	g, err := gallery.New(grown, fmt.Sprintf("%s, replicate %d", shown.Name, shown.Replicate), 0, nil)
	if err != nil {
		return err
	}
	shown.Run = g.Facts()
	if m := g.Weighed; m != nil {
		shown.Magnet, shown.Assumed = g.MagnetFacts(), m.Assumes
	}
	for _, k := range g.Reported() {
		draw := func(w io.Writer, f gallery.Format) (string, error) { return g.Draw(k, w, f) }
		if err := r.album.Add(plots.Plot{Name: k.Name, Section: k.Section, Caption: k.Caption, Draw: draw}); err != nil {
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
	return r.album.Film("pictures", "growth", "Growth as moving pictures, the furnace programme below.", alt, b.Bytes())
}
