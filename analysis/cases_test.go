package analysis

import (
	"reflect"
	"testing"

	"onegrain/analysis/tally"
	"onegrain/analysis/window"
	"onegrain/studies/column"
	"onegrain/studies/table"
)

// TestStudyOfATable: every column of the table of cases lands in its place. All numbers differ, so
// that two that are taken for one another are seen; a column that no table has is no unknown
// number.
func TestStudyOfATable(t *testing.T) {
	varied := []column.Column{{Name: "start_undercooling_K", Kind: column.Real, Unit: "K"},
		{Name: "cell_mm", Kind: column.Real, Unit: "mm"}, {Name: "turn", Kind: column.Text}}
	s := must[column.Schema](t)(column.Of("cases", varied))
	row := &column.Case{
		Runs: 40, SingleGrainRuns: 30, SingleGrainFraction: 0.75, SingleGrainFractionLow: 0.58, SingleGrainFractionHigh: 0.87,
		ClearDiameterMMMedian: 11, ClearDiameterMMP10: 9, ClearDiameterMMP90: 12, TimeToFullH: 33, ProgrammeH: 44,
		StoppedBy: "replicates",
	}
	row.Exact.Probability, row.Exact.Error, row.Exact.ExpectedStrays = 0.7, 0.02, 0.3
	row.Exact.Placings, row.Exact.Because = 16, "apart"
	l := &row.OverLaws
	l.SingleGrainChance, l.SingleGrainChanceLow, l.SingleGrainChanceHigh, l.SingleGrainChanceWorse = 0.61, 0.21, 0.91, 0.51
	l.WorseFamily, l.FamilyShare, l.Laws, l.LawsBy = "sites", 0.41, 1000, "table"
	l.TimeToFullHLow, l.TimeToFullHHigh = 31, 37
	f := table.NewFrame(s)
	if err := f.Append(s.Row("x", 0, []any{8.0, 0.2, "radial"}, row)...); err != nil {
		t.Fatal(err)
	}
	var of facts
	of.Vary = append(of.Vary, struct{ Key, Name, Role string }{Key: "body.cell_mm"})
	got := study(f, &of)
	want := window.Case{
		ID: "x", At: []float64{8, 0.2, 0}, Runs: 40, Hits: 30, Exact: 0.7, Strays: 0.3, DiameterMM: 11, P10: 9, P90: 12,
		FullH: 33, ProgrammeH: 44, Placings: 16, Error: 0.02, Low: 0.58, High: 0.87, CellMM: 0.2, Because: "apart",
		Laws: tally.Laws{Chance: 0.61, Low: 0.21, High: 0.91, Worse: 0.51, Family: "sites", Share: 0.41, FullLowH: 31,
			FullHighH: 37, Count: 1000, By: "table"}, EachLaw: true,
	}
	if len(got.Cases) != 1 || !reflect.DeepEqual(got.Cases[0], want) {
		t.Errorf("%+v\nwanted %+v", got.Cases, want)
	}
	if a := got.Axes; a[0].Unit != "K" || a[1].Name != "cell_mm" || a[2].Levels[0] != "radial" {
		t.Errorf("%+v", a)
	}
	defer func() {
		if recover() == nil {
			t.Error("a column that no table has was read")
		}
	}()
	columnsOf(f).reals("placing")
}
