package main

import (
	"fmt"
	"io"

	"onegrain/analysis/chart/graph"
	"onegrain/analysis/chart/paper"
	"onegrain/analysis/magnet"
	"onegrain/analysis/trace"
)

// drawField writes the map of the trapped field and returns its text alternative.
func (w *worth) drawField(out io.Writer, format paper.Format, title, note string) (alt string, err error) {
	f := graph.Field{
		Title: title, Note: note, NX: w.field.NX, NY: w.field.NY, StepMM: w.field.CellMM, Origin: w.field.OriginMM, Values: w.field.BT,
		Quantity: graph.Axis{Name: "Trapped field", Unit: "T"}, Outlines: trace.Chains(w.domainsOnly().Outlines()),
	}
	for _, p := range w.Peaks {
		f.Peaks = append(f.Peaks, [2]float64{p.XMM, p.YMM})
	}
	if len(w.Peaks) == 0 {
		f.Remarks = []string{"No column is of one domain, so nothing is trapped."}
	}
	if w.domains.InnerMM > 0 && len(w.Peaks) == 1 {
		f.Remarks = []string{"Over a ring the field is nearly as high along a whole circle; the highest place is marked."}
	}
	f.Remarks = append(f.Remarks, fmt.Sprintf("%g mm above the top face of a body %g mm thick, critical current %g A/mm².", w.HeightMM, w.ThicknessMM, w.CurrentAPerMM2))
	f.Remarks = append(f.Remarks, sentences(w.Assumes)...)
	return f.Draw(out, format)
}

// drawStrip writes the grains of a block with the cut that limits the current along x.
func (w *worth) drawStrip(out io.Writer, g *gallery, title string) (alt string, err error) {
	m := w.passing
	stray := make([]bool, len(w.domainOf))
	for g, d := range w.domainOf {
		stray[g] = d < 0
	}
	t := graph.Strip{
		Title: title, Note: g.caption(), NX: m.NX, NY: m.NY, CellMM: m.CellMM, Origin: m.OriginMM, Grain: w.seen, Stray: stray,
		Share: w.cut.Share,
	}
	for _, grain := range g.cells.Grains {
		if patch := grain.Patch(); patch != nil {
			t.Seeds = append(t.Seeds, patch)
		}
	}
	if g.sheet.Clear.DiameterMM > 0 {
		t.Clear = [][][2]float64{g.sheet.Clear.Rim()}
	}
	if w.cut.Share > 1-1e-9 {
		t.Remarks = []string{"No boundary limits the current along x."}
		return t.Draw(out, g.sheet.Format)
	}
	t.Cut = [][][2]float64{w.cut.PathMM}
	t.Remarks = []string{fmt.Sprintf("Current along x at most %.3g %% of that of one grain: boundaries pass all of it up to %g° and e times less for each %g° more; where there is liquid or a stray, nothing.", 100*w.cut.Share, w.ThresholdDeg, w.DecayDeg)}
	return t.Draw(out, g.sheet.Format)
}

// domainsOnly is the map whose grains are domains.
func (w *worth) domainsOnly() *magnet.Map {
	one := *w.domains
	one.Grain = make([]int32, len(w.domains.Grain))
	for u, g := range w.domains.Grain {
		if one.Grain[u] = g; g >= 0 {
			one.Grain[u] = int32(w.domainOf[g])
		}
	}
	return &one
}

// sentences begin with a capital and end with a full stop.
func sentences(texts []string) []string {
	var out []string
	for _, t := range texts {
		out = append(out, string(t[0]-'a'+'A')+t[1:]+".")
	}
	return out
}
