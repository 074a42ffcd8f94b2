package table

import (
	"bytes"
	"errors"
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/parquet-go/parquet-go"

	"onegrain/studies/draws"
)

// someLaws is a file of two furnaces, laws of both families in turn.
func someLaws(n int) *draws.File {
	f := &draws.File{Furnaces: []string{"north", "hall 2"}, LogbookHash: "ab12", Priors: "rate 0.134 × 3.16\nexponent 1.6",
		ParetoK: 0.45, Effective: 1240.5, LowestK: 8, HighestK: 24, LowestStrayK: 12, HighestStrayK: 24, ModelVersion: "3",
		PeritecticC: 1010}
	for i := range n {
		x := 1 + float64(i)/1e3
		l := draws.Law{Family: draws.Barrier, RateA: 0.134 * x, ExponentA: 1.9, RateC: 0.2, ExponentC: 1.3 / x,
			PrefactorPerMM3H: 1.1e4 * x, BarrierK3: 1.12e7, LengthScatter: 0.05, ScatterK: 0.2, OffsetK: []float64{0, -x}}
		if i%2 == 1 {
			l.Family, l.PrefactorPerMM3H, l.BarrierK3 = draws.Sites, 0, 0
			l.DensityPerMM3, l.MeanK, l.SpreadK = 0.5, 23+x, 1.6
		}
		f.Laws = append(f.Laws, l)
	}
	return f
}

func TestLawsComeBackAsTheyWere(t *testing.T) {
	want := someLaws(1000)
	data := must[[]byte](t)(EncodeLaws(want))
	got := must[*draws.File](t)(DecodeLaws("melt.parquet", data))
	if !reflect.DeepEqual(got, want) {
		t.Errorf("%+v\nwanted\n%+v", got, want)
	}
	if again := must[[]byte](t)(EncodeLaws(someLaws(1000))); !bytes.Equal(data, again) {
		t.Error("the same laws give other bytes")
	}
	want.LowestStrayK, want.HighestStrayK = math.NaN(), math.NaN() // no stray was seen
	none := must[*draws.File](t)(DecodeLaws("melt.parquet", must[[]byte](t)(EncodeLaws(want))))
	if !math.IsNaN(none.HighestStrayK) || none.HighestK != 24 {
		t.Errorf("%+v", none)
	}
}

func TestDuckDBReadsLaws(t *testing.T) {
	file := filepath.Join(t.TempDir(), "melt.parquet")
	if err := os.WriteFile(file, must[[]byte](t)(EncodeLaws(someLaws(40))), 0o600); err != nil {
		t.Fatal(err)
	}
	found := duckdb(t, file)[0]
	if len(found.Rows) != 40 || found.Columns[1].Name != "family" || found.Rows[1][1] != "sites" ||
		found.Keys["onegrain.peritectic_C"] != "1010" {
		t.Errorf("%v, %v, %v", found.Columns, found.Rows[1], found.Keys)
	}
}

// Laws that were changed after they were written are not those of their file.
func TestChangedLawsAreNoticed(t *testing.T) {
	f := someLaws(50)
	whole := must[[]byte](t)(EncodeLaws(f))
	rows := must[*Frame](t)(decode("melt.parquet", whole))
	meta := maps.Clone(rows.meta)
	meta[keyParetoK] = "0.1"
	changed := must[[]byte](t)(encode(rows, meta))
	cut := whole[:len(whole)-9]
	for what, data := range map[string][]byte{"a key": changed, "cut": cut, "text": []byte("no laws")} {
		_, err := DecodeLaws("melt.parquet", data)
		if bad := (*Corrupt)(nil); !errors.As(err, &bad) || !strings.Contains(err.Error(), "onegrain fit laws") {
			t.Errorf("%s: %v", what, err)
		}
	}
	if _, err := DecodeLaws("melt.parquet", must[[]byte](t)(encode(rows, rows.meta))); err != nil {
		t.Errorf("canary: unchanged: %v", err)
	}
}

// stranger is a file as another sampler may write it: columns by the names of a structure in their
// alphabetical order, others beside them, no hash.
func stranger[T any](t *testing.T, row T, n int, keys map[string]string) []byte {
	t.Helper()
	var b bytes.Buffer
	var options []parquet.WriterOption
	for _, k := range slices.Sorted(maps.Keys(keys)) {
		options = append(options, parquet.KeyValueMetadata(k, keys[k]))
	}
	w := parquet.NewGenericWriter[T](&b, options...)
	for range n {
		must[int](t)(w.Write([]T{row}))
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

type strangerLaw struct {
	Chain    []int32 `parquet:"chain"` // of no use here
	Family   string  `parquet:"family"`
	RateA    float64 `parquet:"growth_a_rate_at_10K_mm_per_h"`
	ExpA     float64 `parquet:"growth_a_exponent"`
	RateC    float64 `parquet:"growth_c_rate_at_10K_mm_per_h"`
	ExpC     float64 `parquet:"growth_c_exponent,optional"`
	Factor   float64 `parquet:"prefactor_per_mm3_h"`
	Barrier  float64 `parquet:"barrier_K3"`
	Density  float64 `parquet:"density_per_mm3"`
	Mean     float64 `parquet:"mean_undercooling_K"`
	Spread   float64 `parquet:"spread_K"`
	Lengths  float64 `parquet:"length_scatter"`
	Kelvins  float64 `parquet:"undercooling_scatter_K"`
	OffsetK  float64 `parquet:"offset_K_north"`
	Accepted bool    `parquet:"accepted"`
}

func theirs() (strangerLaw, map[string]string) {
	nan := math.NaN()
	return strangerLaw{[]int32{1, 2}, "barrier", 0.134, 1.9, 0.2, 1.3, 1.1e4, 1.12e7, nan, nan, nan, 0.05, 0.2, 0, true},
		map[string]string{"onegrain.peritectic_C": "1010", "onegrain.lowest_undercooling_K": "8",
			"onegrain.highest_undercooling_K": "24"}
}

func TestLawsOfAnotherProgram(t *testing.T) {
	row, keys := theirs()
	f := must[*draws.File](t)(DecodeLaws("melt.parquet", stranger(t, row, 30, keys)))
	want := draws.Law{Family: "barrier", RateA: 0.134, ExponentA: 1.9, RateC: 0.2, ExponentC: 1.3, PrefactorPerMM3H: 1.1e4,
		BarrierK3: 1.12e7, LengthScatter: 0.05, ScatterK: 0.2, OffsetK: []float64{0}}
	if len(f.Laws) != 30 || !reflect.DeepEqual(f.Laws[29], want) || f.HighestK != 24 || f.Furnaces[0] != "north" {
		t.Errorf("%+v", f.Laws[29])
	}
}

func TestWhatIsNoFileOfLaws(t *testing.T) {
	row, keys := theirs()
	edited := func(edit func(r *strangerLaw)) []byte {
		r := row
		edit(&r)
		return stranger(t, r, 30, keys)
	}
	without := func(key string) []byte {
		less := maps.Clone(keys)
		delete(less, key)
		return stranger(t, row, 30, less)
	}
	type short struct {
		Family string  `parquet:"family"`
		Offset float64 `parquet:"offset_K_north"`
	}
	type narrow struct {
		Family string  `parquet:"family"`
		RateA  float32 `parquet:"growth_a_rate_at_10K_mm_per_h"`
		Offset float64 `parquet:"offset_K_north"`
	}
	type homeless struct {
		Family string `parquet:"family"`
	}
	nan, infinite := math.NaN(), math.Inf(1)
	for want, data := range map[string][]byte{
		"it has 19 rows: wanted 20 to 100000":                        stranger(t, row, 19, keys),
		"there is no column growth_a_rate_at_10K_mm_per_h":           stranger(t, short{"sites", 0}, 30, keys),
		"column growth_a_rate_at_10K_mm_per_h holds":                 stranger(t, narrow{"sites", 1, 0}, 30, keys),
		"there is no column offset_K_ with the name":                 stranger(t, homeless{"sites"}, 30, keys),
		`row 1, column family: "walls"`:                              edited(func(r *strangerLaw) { r.Family = "walls" }),
		"row 1, column growth_a_exponent: NaN: wanted a number from": edited(func(r *strangerLaw) { r.ExpA = nan }),
		"row 1, column growth_c_exponent: NaN":                       edited(func(r *strangerLaw) { r.ExpC = 0 }),
		"row 1, column density_per_mm3: NaN: wanted":                 edited(func(r *strangerLaw) { r.Family = "sites" }),
		"row 1, column barrier_K3: -1: wanted":                       edited(func(r *strangerLaw) { r.Barrier = -1 }),
		"column length_scatter: +Inf":                                edited(func(r *strangerLaw) { r.Lengths = infinite }),
		"there is no key-value onegrain.peritectic_C":                without("onegrain.peritectic_C"),
		"there is no key-value onegrain.highest_undercooling_K":      without("onegrain.highest_undercooling_K"),
	} {
		_, err := DecodeLaws("melt.parquet", data)
		bad := (*Corrupt)(nil)
		if err == nil || !strings.HasPrefix(err.Error(), "melt.parquet: ") || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, wanted %s", err, want)
		} else if errors.As(err, &bad) && !strings.Contains(want, "Inf") {
			t.Errorf("a file that was never damaged is called so: %v", err)
		}
	}
	if _, err := EncodeLaws(&draws.File{Furnaces: []string{"a"}, Laws: []draws.Law{{Family: "sites"}}}); err == nil {
		t.Error("a law without an offset was written")
	}
	if text := fmt.Sprint(lawsHash(someLaws(20))); text == lawsHash(someLaws(21)) {
		t.Error("canary: other laws have the same hash")
	}
}
