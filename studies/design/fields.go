package design

import "onegrain/studies/strict"

// Fields are the keys of [[vary]] and [design].
func Fields() []strict.Field {
	const axis = "vary.#."
	ranged := strict.Without("values")
	return []strict.Field{
		strict.Text(axis+"key", "the key to vary; stages and seeds count from 1").Must(),
		strict.Text(axis+"name", "the column in the results; the last part of the key if absent"),
		strict.Text(axis+"role", "set: a choice of the furnace or of the seeds; unknown: only not known, so results are "+
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
