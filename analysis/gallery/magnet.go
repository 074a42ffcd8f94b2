package gallery

import (
	"io"

	"onegrain/analysis/chart/graph"
)

// field draws the map of the trapped field.
func (g *Gallery) field(w io.Writer, f Format) (string, error) {
	m := g.Weighed
	t := graph.Field{
		Title: "Trapped field", Note: g.caption(), NX: m.Field.NX, NY: m.Field.NY, StepMM: m.Field.CellMM,
		Origin: m.Field.OriginMM, Values: m.Field.BT, Quantity: graph.Axis{Name: "Trapped field", Unit: "T"},
		Outlines: g.Outlines(m), Remarks: g.said("of the field"),
	}
	for _, p := range m.Peaks {
		t.Peaks = append(t.Peaks, [2]float64{p.XMM, p.YMM})
	}
	return t.Draw(w, f)
}

// strip draws the grains of a block with the cut that limits the current along x.
func (g *Gallery) strip(w io.Writer, f Format) (string, error) {
	m := g.Weighed
	t := graph.Strip{
		Title: "Weakest cut for a current along x", Note: g.caption(), NX: m.Passing.NX, NY: m.Passing.NY,
		CellMM: m.Passing.CellMM, Origin: m.Passing.OriginMM, Grain: m.Shown, Share: m.Cut.Share,
		Remarks: g.said("of the strip"),
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
	if m.Cut.Share <= 1-1e-9 {
		t.Cut = [][][2]float64{m.Cut.PathMM}
	}
	return t.Draw(w, f)
}
