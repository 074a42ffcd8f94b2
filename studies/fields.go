package studies

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"onegrain/studies/border"
	"onegrain/studies/design"
	"onegrain/studies/laws"
	"onegrain/studies/strict"
)

// schema is the table of all keys of a study.
func schema() strict.Schema {
	return slices.Concat(border.Fields(), magnetFields(), []strict.Field{
		strict.Text("title", "one line for tables and figures"),
		strict.Number("random.seed", strict.Between(0, math.Inf(1)),
			"another number gives other strays").Whole().Or(int64(1)),
		strict.Number("random.replicates", strict.Between(1, 1000000),
			"runs of each case, each with other strays").Whole().Or(int64(1)),
		strict.Number("random.precision", strict.Above(0).Below(0.5),
			"a case stops early once its 95 % interval is within ± this"),
		strict.Text("random.pairing", "common: replicate k draws the same random numbers for strays in every case",
			"common", "independent").Or("common"),
		strict.Text("random.laws", "each: every replicate draws a law from material.laws, the same one in every case; "+
			"middle: all take the middle one", "each", "middle").Beside(strict.Without(laws.LawFile).Not()).Or("each"),
	}, design.Fields(), []strict.Field{
		{Key: "keep.history", Like: false, Default: false,
			Means: "time, temperature, undercooling, half widths, solid fraction, strays"},
		strict.Text("keep.fields", "grain, sector and arrival time of each cell as .vti",
			"none", "first", "all").Or("none"),
	})
}

// Reference is the table of all keys as text: key, type with range and unit, default, condition,
// meaning.
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
