package run

import (
	"testing"

	"onegrain/sim"
	"onegrain/sim/measure"
	"onegrain/studies/column"
)

// The rows of a run have what the measures return, by name: what the columns make of them is tested
// in package column.
func TestRowsHaveWhatIsMeasured(t *testing.T) {
	s := load(t, small+"[keep]\nhistory = true\n")
	p, _ := s.Identify(s.Cases() - 1)
	c, err := p.Case()
	if err != nil {
		t.Fatal(err)
	}
	survey := measure.Look(sim.Prepare(c).Seeded(p.Key(1)).Strays(p.Key(1)), p.JoinDeg)
	got, m := recorded(p, 1, survey, 2e9)
	row := got.rows["runs"][0].(*column.Run)
	if row.Measured != m || row.WallS != 2 || (row.Status == "solid") != (m.SolidFraction == 1) {
		t.Errorf("run %+v of %+v", row, m)
	}
	grains := survey.Grains()
	if len(grains) < 2 || len(got.rows["grains"]) != len(grains) || len(got.rows["boundaries"]) == 0 ||
		len(got.rows["history"]) == 0 {
		t.Fatalf("%d grains: rows of %d grains, %d boundaries, %d moments", len(grains), len(got.rows["grains"]),
			len(got.rows["boundaries"]), len(got.rows["history"]))
	}
	for i, g := range grains {
		r := got.rows["grains"][i].(*column.Grain)
		want := column.Grain{Grain: i + 1, Domain: r.Domain}
		want.Origin, want.BornH, want.BornUndercoolingK, want.AtMM = g.Origin.String(), g.BornH, g.BornUndercoolingK, g.AtMM
		q := g.Orientation
		want.Orientation.W, want.Orientation.X, want.Orientation.Y, want.Orientation.Z = q.W, q.X, q.Y, q.Z
		want.VolumeMM3, want.SectorMM3, want.DisorientationDeg = g.VolumeMM3, g.SectorMM3, g.DisorientationDeg
		if *r != want || (r.Domain > 0) != (g.Domain >= 0) {
			t.Errorf("grain %+v of %+v", *r, g)
		}
	}
	schema, err := column.Of("history", nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range got.rows["history"] {
		values := schema.Row(p.ID, 1, nil, r)
		sum := values[schema.Index("temperature_C")].(float64) + values[schema.Index("undercooling_K")].(float64)
		if d := sum - p.PeritecticC(); d > 1e-9 || d < -1e-9 {
			t.Fatalf("temperature and undercooling sum up to %v, wanted %v", sum, p.PeritecticC())
		}
	}
}
