package studies

import (
	"fmt"
	"strings"

	"onegrain/studies/border"
	"onegrain/studies/strict"
)

// schema is the table of all keys of a study.
func schema() strict.Schema {
	return append(append(border.Fields(), magnetFields()...), []strict.Field{
		{Key: "title", Kind: strict.Text, Means: "one line for tables and figures"},

		{Key: "random.seed", Kind: strict.Whole, Range: "[0, inf)", Default: int64(1), Means: "another number gives other spontaneous nuclei"},
		{Key: "random.replicates", Kind: strict.Whole, Range: "[1, 1000000]", Default: int64(1), Means: "runs of each case, with other spontaneous nuclei"},
		{Key: "random.precision", Kind: strict.Number, Range: "(0, 0.5)", Means: "a case stops early once its 95 % interval is within ± this"},
		{Key: "random.pairing", Kind: strict.Text, Choices: []string{"common", "independent"}, Default: "common", Means: "common: replicate k meets the same nuclei in every case"},

		{Key: "vary.#.key", Kind: strict.Text, Needed: true, Means: "the key to vary; stages and seeds count from 1"},
		{Key: "vary.#.name", Kind: strict.Text, Means: "the column in the results; the last part of the key if absent"},
		{Key: "vary.#.role", Kind: strict.Text, Choices: []string{"set", "unknown"}, Default: "set", Means: "set: a choice of the furnace or of the seeds; unknown: merely not known, so results are averaged over it and it is never chosen"},
		{Key: "vary.#.values", Kind: strict.List, Count: [2]int{1, 0}, Means: "the values, or from, to and count instead"},
		{Key: "vary.#.from", Kind: strict.Number, When: "values=", Means: "first value"},
		{Key: "vary.#.to", Kind: strict.Number, When: "values=", Means: "last value"},
		{Key: "vary.#.count", Kind: strict.Whole, Range: "[2, 1000000]", When: "values=", Means: "number of values; none in a latin, sobol or saltelli design"},
		{Key: "vary.#.spacing", Kind: strict.Text, Choices: []string{"linear", "log"}, When: "values=", Means: "equal steps or equal ratios"},

		{Key: "design.kind", Kind: strict.Text, Choices: []string{"grid", "together", "latin", "sobol", "saltelli", "table"}, Default: "grid", Means: "every combination; element by element; points spread over the ranges from … to, as a Latin hypercube or a Sobol sequence; the samples A, B and AB for sensitivity indices; or the rows of a file"},
		{Key: "design.points", Kind: strict.Whole, Range: "[1, 1000000]", When: "kind=latin,sobol,saltelli", Needed: true, Means: "number of cases; of a saltelli design rows, each of which makes as many cases as there are [[vary]] and two more"},
		{Key: "design.file", Kind: strict.Text, When: "kind=table", Needed: true, Means: "CSV with one column for each name of [[vary]], beside the study"},

		{Key: "keep.history", Kind: strict.Flag, Default: false, Means: "time, temperature, undercooling, half widths, solid fraction, nuclei"},
		{Key: "keep.fields", Kind: strict.Text, Choices: []string{"none", "first", "all"}, Default: "none", Means: "grain, sector and arrival time of each cell as .vti"},
	}...)
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
		if f.When != "" {
			b.WriteString("; with " + f.Condition())
		}
		fmt.Fprintf(&b, "\n    %s\n", f.Means)
	}
	return b.String()
}
