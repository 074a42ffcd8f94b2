package table

import (
	"fmt"
	"strconv"

	"onegrain/studies/column"
	"onegrain/studies/draws"
)

// lawsTable is the name of a table of laws.
const lawsTable = "laws"

// What is known of all laws together stands in the key-values of their file.
const (
	keyContent    = "onegrain.content_sha256" // of all else
	keyLogbook    = "onegrain.logbook_sha256"
	keyPriors     = "onegrain.priors"
	keyParetoK    = "onegrain.pareto_k"
	keyEffective  = "onegrain.effective_draws"
	keyLowest     = "onegrain.lowest_undercooling_K"
	keyHighest    = "onegrain.highest_undercooling_K"
	keyLowestOf   = "onegrain.lowest_stray_undercooling_K"
	keyHighestOf  = "onegrain.highest_stray_undercooling_K"
	keyPeritectic = "onegrain.peritectic_C"
)

const (
	columnFamily = "family"
	columnOffset = "offset_K_" // and the name of a furnace
)

// lawColumn is a number of a law.
type lawColumn struct {
	column.Column
	of        func(*draws.Law) *float64
	family    string // of which alone it is; empty for both
	low, high float64
}

// lawColumns are the numbers of a law of so many furnaces.
func lawColumns(furnaces []string) []lawColumn {
	real := func(name, unit, means string) column.Column {
		return column.Column{Name: name, Kind: column.Real, Null: true, Unit: unit, Means: means}
	}
	all := []lawColumn{
		{real("growth_a_rate_at_10K_mm_per_h", "mm/h", "rate of a faces at 10 K"),
			func(l *draws.Law) *float64 { return &l.RateA }, "", 1e-6, 1e4},
		{real("growth_a_exponent", "1", "its exponent"),
			func(l *draws.Law) *float64 { return &l.ExponentA }, "", 0, 10},
		{real("growth_c_rate_at_10K_mm_per_h", "mm/h", "rate of c faces at 10 K"),
			func(l *draws.Law) *float64 { return &l.RateC }, "", 1e-6, 1e4},
		{real("growth_c_exponent", "1", "its exponent"),
			func(l *draws.Law) *float64 { return &l.ExponentC }, "", 0, 10},
		{real("prefactor_per_mm3_h", "/mm3/h", "strays as a rate: prefactor of the barrier law"),
			func(l *draws.Law) *float64 { return &l.PrefactorPerMM3H }, draws.Barrier, 0, 1e300},
		{real("barrier_K3", "K3", "its barrier"),
			func(l *draws.Law) *float64 { return &l.BarrierK3 }, draws.Barrier, 0, 1e15},
		{real("density_per_mm3", "/mm3", "strays at sites: how many of them"),
			func(l *draws.Law) *float64 { return &l.DensityPerMM3 }, draws.Sites, 0, 1e9},
		{real("mean_undercooling_K", "K", "at which they start"),
			func(l *draws.Law) *float64 { return &l.MeanK }, draws.Sites, 0, 1000},
		{real("spread_K", "K", "standard deviation of that"),
			func(l *draws.Law) *float64 { return &l.SpreadK }, draws.Sites, 1e-6, 1000},
		{real("length_scatter", "1", "of the logarithm of grown lengths, standard deviation"),
			func(l *draws.Law) *float64 { return &l.LengthScatter }, "", 0, 5},
		{real("undercooling_scatter_K", "K", "from run to run, standard deviation"),
			func(l *draws.Law) *float64 { return &l.ScatterK }, "", 0, 50},
	}
	for k, name := range furnaces {
		all = append(all, lawColumn{real(columnOffset+name, "K", "true less read undercooling of this furnace"),
			func(l *draws.Law) *float64 { return &l.OffsetK[k] }, "", -300, 300})
	}
	return all
}

// lawMeta are the numbers that stand in the key-values; a file without one that is needed is
// refused.
func lawMeta(f *draws.File) []struct {
	key    string
	of     *float64
	needed bool
} {
	return []struct {
		key    string
		of     *float64
		needed bool
	}{{keyPeritectic, &f.PeritecticC, true}, {keyLowest, &f.LowestK, true}, {keyHighest, &f.HighestK, true},
		{keyLowestOf, &f.LowestStrayK, false}, {keyHighestOf, &f.HighestStrayK, false},
		{keyParetoK, &f.ParetoK, false}, {keyEffective, &f.Effective, false}}
}

// EncodeLaws are the bytes of a Parquet file of laws: the same laws give the same bytes.
func EncodeLaws(f *draws.File) ([]byte, error) {
	columns := lawColumns(f.Furnaces)
	s := column.Schema{Table: lawsTable, Columns: []column.Column{
		{Name: "draw", Kind: column.Int, Unit: "1", Means: "number of the law, from 1"},
		{Name: columnFamily, Kind: column.Text, Means: "barrier (strays come as a rate) or sites (each starts once)"}}}
	for _, c := range columns {
		s.Columns = append(s.Columns, c.Column)
	}
	rows := NewFrame(s)
	for i, law := range f.Laws {
		if len(law.OffsetK) != len(f.Furnaces) {
			return nil, fmt.Errorf("law %d: %d offsets of %d furnaces", i+1, len(law.OffsetK), len(f.Furnaces))
		}
		values := []any{i + 1, law.Family}
		for _, c := range columns {
			var x any
			if c.family == "" || c.family == law.Family {
				x = *c.of(&law)
			}
			values = append(values, x)
		}
		if err := rows.Append(values...); err != nil {
			return nil, err
		}
	}
	meta := map[string]string{keyModel: f.ModelVersion, keyLogbook: f.LogbookHash, keyPriors: f.Priors}
	for _, m := range lawMeta(f) {
		meta[m.key] = strconv.FormatFloat(*m.of, 'g', -1, 64)
	}
	meta[keyContent] = lawsHash(f)
	return encode(rows, meta)
}

// lawsHash is the SHA-256 of all that a file of laws says, however its bytes are packed.
func lawsHash(f *draws.File) string {
	text := fmt.Appendf(nil, "%q\n%q\n%q\n%q\n", f.Furnaces, f.LogbookHash, f.Priors, f.ModelVersion)
	for _, m := range lawMeta(f) {
		text = fmt.Appendf(text, "%v\n", *m.of)
	}
	columns := lawColumns(f.Furnaces)
	for _, law := range f.Laws {
		text = fmt.Appendf(text, "%s", law.Family)
		for _, c := range columns {
			if c.family == "" || c.family == law.Family {
				text = fmt.Appendf(text, " %v", *c.of(&law))
			}
		}
		text = append(text, '\n')
	}
	return sum(text)
}

// check says what is wrong with a number of a law that was read.
func (c lawColumn) check(x float64) error {
	if !(x >= c.low && x <= c.high) {
		return fmt.Errorf("column %s: %v: wanted a number from %v to %v", c.Name, x, c.low, c.high)
	}
	return nil
}
