package gallery

import (
	"fmt"
	"io"
	"strings"

	"onegrain/analysis/chart/graph"
)

// field draws the map of the trapped field.
func (g *Gallery) field(w io.Writer, f Format) (string, error) {
	m := g.Weighed
	t := graph.Field{
		Title: "Trapped field", Note: g.caption(), NX: m.Field.NX, NY: m.Field.NY, StepMM: m.Field.CellMM,
		Origin: m.Field.OriginMM, Values: m.Field.BT, Quantity: graph.Axis{Name: "Trapped field", Unit: "T"},
		Outlines: g.Outlines(m),
	}
	for _, p := range m.Peaks {
		t.Peaks = append(t.Peaks, [2]float64{p.XMM, p.YMM})
	}
	switch {
	case len(m.Peaks) == 0:
		t.Remarks = []string{"No column from top to bottom is of one domain, so no field is trapped."}
	case m.Domains.InnerMM > 0 && len(m.Peaks) == 1:
		t.Remarks = []string{
			"Over a ring the field is nearly as high along a whole circle; the highest place is marked.",
		}
	}
	t.Remarks = append(t.Remarks, fmt.Sprintf(
		"%g mm above the top face of a body %g mm thick, critical current %g A/mm².",
		m.HeightMM, m.ThicknessMM, m.CurrentAPerMM2))
	for _, text := range m.Assumes {
		t.Remarks = append(t.Remarks, strings.ToUpper(text[:1])+text[1:]+".")
	}
	return t.Draw(w, f)
}

// strip draws the grains of a block with the cut that limits the current along x.
func (g *Gallery) strip(w io.Writer, f Format) (string, error) {
	m := g.Weighed
	t := graph.Strip{
		Title: "Weakest cut for a current along x", Note: g.caption(), NX: m.Passing.NX, NY: m.Passing.NY,
		CellMM: m.Passing.CellMM, Origin: m.Passing.OriginMM, Grain: m.Shown, Share: m.Cut.Share,
	}
	for _, d := range g.Domain {
		t.Stray = append(t.Stray, d < 0)
	}
	for _, grain := range g.cells.Grains {
		if patch := grain.Patch(); patch != nil {
			t.Seeds = append(t.Seeds, patch)
		}
	}
	if g.sheet.Clear.DiameterMM > 0 {
		t.Clear = [][][2]float64{g.sheet.Clear.Rim()}
	}
	if m.Cut.Share > 1-1e-9 {
		t.Remarks = []string{"No boundary limits the current along x."}
		return t.Draw(w, f)
	}
	t.Cut = [][][2]float64{m.Cut.PathMM}
	t.Remarks = []string{fmt.Sprintf("Current along x at most %.3g %% of that of one grain: boundaries pass all of it up "+
		"to %g° and e times less for each %g° more; liquid and strays carry nothing.",
		100*m.Cut.Share, m.ThresholdDeg, m.DecayDeg)}
	return t.Draw(w, f)
}
