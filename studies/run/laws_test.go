package run

import (
	"context"
	"errors"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"onegrain/studies"
	"onegrain/studies/draws"
	"onegrain/studies/table"
)

// decode reads a file of laws that says how many there are: six of ten with strays as a rate, which
// seldom spoil the body, the others at sites, which often do.
func decode(_ string, data []byte) (*draws.File, error) {
	var n int
	if _, err := fmt.Sscan(string(data), &n); err != nil {
		return nil, err
	}
	f := &draws.File{Furnaces: []string{"north"}, PeritecticC: 1010, LowestK: 8, HighestK: 24}
	for i := range n {
		x := float64(i) / float64(n)
		law := draws.Law{Family: draws.Barrier, RateA: 0.12 + 0.03*x, ExponentA: 1.9, RateC: 0.2, ExponentC: 1.3,
			PrefactorPerMM3H: 1.1e4, BarrierK3: 5.8e6 + 4e5*x, ScatterK: 0.1, OffsetK: []float64{0}}
		if i%10 >= 6 {
			law.Family, law.DensityPerMM3, law.MeanK, law.SpreadK = draws.Sites, 0.5, 21+x, 2
		}
		f.Laws = append(f.Laws, law)
	}
	return f, nil
}

// lawful is the small study, or a part of it, with laws of a file.
func lawful(t *testing.T, laws int, changes ...string) *studies.Study {
	t.Helper()
	text := strings.NewReplacer("base = \"Y123, air\"", "laws = \"melt.laws\"", "plane = \"ab\"",
		"plane = \"ab\"\nthickness_mm = 1", "[nucleation.melt]\nlaw = \"barrier\"\nprefactor_per_mm2_h = 1.1e4\n"+
			"barrier_K3 = 6e6\n", "").Replace(small)
	s, err := studies.Load("small.toml", []byte(strings.NewReplacer(changes...).Replace(text)),
		func(string) ([]byte, error) { return []byte(fmt.Sprint(laws)), nil }, 0, decode)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// one is a column of the only case of a finished study.
func one(t *testing.T, f *table.Folder, name string) float64 {
	t.Helper()
	cases, err := f.Table("cases")
	if err != nil || cases.Len() != 1 {
		t.Fatalf("%d cases (%v), wanted 1", cases.Len(), err)
	}
	x, err := cases.Reals(name)
	if err != nil {
		t.Fatal(err)
	}
	return x[0]
}

// TestCountsOverLaws: where each replicate draws its law, the counted share of single grains is
// binomial about the chance over laws, within 4 standard deviations. Canary: with the middle law in
// all replicates it is not; that share fits the exact chance, which is the middle law's.
func TestCountsOverLaws(t *testing.T) {
	const n = 160
	share := func(how string) (hits float64, f *table.Folder) {
		s := lawful(t, 200, "replicates = 12", "replicates = "+fmt.Sprint(n), "seed = 3", "seed = 3\nlaws = \""+how+"\"",
			"values = [0.3, 0.5, 1]", "values = [0.5]", "values = [6, 12]", "values = [12]")
		f = folder(t, t.TempDir(), s)
		run(t, &Runner{Study: s, Folder: f, Workers: 2})
		return one(t, f, "single_grain_runs"), f
	}
	off := func(hits, p float64) float64 { return (hits - n*p) / math.Sqrt(n*p*(1-p)) }
	each, f := share("each")
	over, exact := one(t, f, "single_grain_chance"), one(t, f, "single_grain_probability_exact")
	low, high := one(t, f, "single_grain_chance_low"), one(t, f, "single_grain_chance_high")
	if one(t, f, "laws") != 200 || !(low < over && over < high && over < exact) ||
		!(one(t, f, "single_grain_chance_worse") < over) {
		t.Errorf("over laws %v (%v to %v), middle %v", over, low, high, exact)
	}
	if d := off(each, over); math.Abs(d) > 4 {
		t.Errorf("%v of %d are %.1f standard deviations from the chance over laws, %v", each, n, d, over)
	}
	middle, f := share("middle")
	if d := off(middle, over); math.Abs(d) < 4 {
		t.Errorf("the canary passes: with the middle law %v of %d are only %.1f from %v", middle, n, d, over)
	}
	if d := off(middle, exact); math.Abs(d) > 4 || one(t, f, "single_grain_chance") != over {
		t.Errorf("with the middle law %v of %d are %.1f from %v", middle, n, d, exact)
	}
}

// TestLawsAreTheSameBits: rows are the same for any number of workers, after an interruption, of
// shards, and beside the odds alone.
func TestLawsAreTheSameBits(t *testing.T) {
	s := lawful(t, 20, "values = [0.3, 0.5, 1]", "values = [0.5]", "replicates = 12", "replicates = 6")
	whole := folder(t, t.TempDir(), s)
	run(t, &Runner{Study: s, Folder: whole, Workers: 1})
	runs, cases := rowsOf(t, whole, "runs"), rowsOf(t, whole, "cases")
	if len(runs) != 12 || len(cases) != 2 {
		t.Fatalf("%d runs of %d cases, wanted 12 of 2", len(runs), len(cases))
	}
	broken := folder(t, t.TempDir(), s)
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	if _, err := (&Runner{Study: s, Folder: broken, Workers: 3, Watch: func(c Summary) {
		if c.Runs == 4 {
			cancel()
		}
	}}).Run(ctx); !errors.Is(err, context.Canceled) {
		t.Fatal(err)
	}
	run(t, &Runner{Study: s, Folder: broken, Workers: 3})
	run(t, &Runner{Study: s, Folder: broken, Workers: 2}) // which takes the rows as they are
	parts := folder(t, t.TempDir(), s)
	for k := 1; k <= 2; k++ {
		run(t, &Runner{Study: s, Folder: parts, Workers: 2, Shard: k, Shards: 2})
	}
	for what, f := range map[string]*table.Folder{"after an interruption": broken, "of two shards": parts} {
		if !reflect.DeepEqual(rowsOf(t, f, "runs"), runs) || !reflect.DeepEqual(rowsOf(t, f, "cases"), cases) {
			t.Errorf("%s rows differ:\n%v\n%v", what, rowsOf(t, f, "cases"), cases)
		}
	}
	odds := folder(t, t.TempDir(), s)
	run(t, &Runner{Study: s, Folder: odds, Workers: 2, OddsOnly: true})
	for key, row := range rowsOf(t, odds, "cases") {
		if !reflect.DeepEqual(row[17:], cases[key][17:]) {
			t.Errorf("the odds alone differ:\n%v\n%v", row, cases[key])
		}
	}
}
