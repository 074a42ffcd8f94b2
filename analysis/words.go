package analysis

import (
	"onegrain/analysis/window"
	"onegrain/studies/column"
)

// Rule is the rule for the best case in words.
const Rule = window.Rule

// Reason says in words why a case can be no single grain, strays or not, by its never_because.
func Reason(because string) string { return window.Point{Because: because}.Reason() }

// Columns is the table of the columns of a table of results, in Markdown; the error is that there
// is no such table.
func Columns(table string) (string, error) {
	s, err := column.Of(table, nil)
	return s.Markdown(), err
}
