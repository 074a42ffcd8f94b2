package studies

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"onegrain/studies/border"
	"onegrain/studies/strict"
)

// schema is the table of all keys of a study.
func schema() strict.Schema {
	return slices.Concat(border.Fields(), magnetFields(), []strict.Field{
		strict.Text("title", "one line for tables and figures"),
		strict.Number("random.seed", strict.Between(0, math.Inf(1)),
			"another number gives other spontaneous nuclei").Whole().Or(int64(1)),
		strict.Number("random.replicates", strict.Between(1, 1000000),
			"runs of each case, with other spontaneous nuclei").Whole().Or(int64(1)),
		strict.Number("random.precision", strict.Above(0).Below(0.5),
			"a case stops early once its 95 % interval is within ± this"),
		strict.Text("random.pairing", "common: replicate k meets the same nuclei in every case",
			"common", "independent").Or("common"),
	}, designFields(), []strict.Field{
		{Key: "keep.history", Like: false, Default: false,
			Means: "time, temperature, undercooling, half widths, solid fraction, nuclei"},
		strict.Text("keep.fields", "grain, sector and arrival time of each cell as .vti",
			"none", "first", "all").Or("none"),
	})
}

func designFields() []strict.Field {
	const axis = "vary.#."
	ranged := strict.Without("values")
	return []strict.Field{
		strict.Text(axis+"key", "the key to vary; stages and seeds count from 1").Must(),
		strict.Text(axis+"name", "the column in the results; the last part of the key if absent"),
		strict.Text(axis+"role", "set: a choice of the furnace or of the seeds; unknown: merely not known, so results are "+
			"averaged over it and it is never chosen", "set", "unknown").Or("set"),
		{Key: axis + "values", Like: []any(nil), Least: 1, Means: "the values, or from, to and count instead"},
		strict.Number(axis+"from", strict.Range{}, "first value").Beside(ranged),
		strict.Number(axis+"to", strict.Range{}, "last value").Beside(ranged),
		strict.Number(axis+"count", strict.Between(2, 1000000),
			"number of values; none in a latin, sobol or saltelli design").Whole().Beside(ranged),
		strict.Text(axis+"spacing", "equal steps or equal ratios", "linear", "log").Beside(ranged),

		strict.Text("design.kind", "every combination; element by element; points spread over the ranges from … to, as a "+
			"Latin hypercube or a Sobol sequence; the samples A, B and AB for sensitivity indices; or the rows of a file",
			"grid", "together", "latin", "sobol", "saltelli", "table").Or("grid"),
		strict.Number("design.points", strict.Between(1, 1000000), "number of cases; of a saltelli design rows, each of "+
			"which makes as many cases as there are [[vary]] and two more").Whole().
			Beside(strict.Is("kind", "latin", "sobol", "saltelli")).Must(),
		strict.Text("design.file", "CSV with one column for each name of [[vary]], beside the study").
			Beside(strict.Is("kind", "table")).Must(),
	}
}

// Reference is the table of all keys as text: key, type with range and unit, default, condition, meaning.
func Reference() string {
	var b strings.Builder
	for _, f := range schema() {
		fmt.Fprintf(&b, "%s\n    %s", strings.ReplaceAll(f.Key, "#", "N"), strings.TrimPrefix(f.Wanted(), "wanted "))
		switch {
		case f.Default != nil:
			fmt.Fprintf(&b, ", default %v", f.Default)
		case f.Needed:
			b.WriteString(", needed")
		}
		if when := f.When.String(); when != "" {
			b.WriteString("; with " + when)
		}
		fmt.Fprintf(&b, "\n    %s\n", f.Means)
	}
	return b.String()
}
