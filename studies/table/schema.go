package table

import (
	"fmt"
	"strings"
)

// Kind of the values of a column.
type Kind uint8

const (
	Int  Kind = iota // int64
	Real             // float64, never NaN or infinite
	Text             // string, UTF-8
	Flag             // bool
)

// String is the name of the kind as the documentation writes it.
func (k Kind) String() string { return [...]string{"int64", "double", "text", "bool"}[k] }

// Column of a table.
type Column struct {
	Name  string // with its unit at the end where it has one
	Kind  Kind
	Null  bool   // may be empty: the value does not exist, or the run failed
	Unit  string // UCUM code; "1" for pure numbers, "" where there is nothing to measure
	Means string // one line for people
}

// ColumnOf is the column that a varied key of a study makes where it is given no name: its last part; of a number in a list, the
// last two.
func ColumnOf(key string) string {
	parts := strings.Split(key, ".")
	last := parts[len(parts)-1]
	if last != "" && last[0] >= '0' && last[0] <= '9' && len(parts) > 1 {
		return parts[len(parts)-2] + "_" + last
	}
	return last
}

// Schema is a table's name and its columns in order.
type Schema struct {
	Table   string // "runs", "cases", "grains", "boundaries" or "history"
	Columns []Column
}

// Of is the schema of a table, with the varied columns of the study (Int, Real or Text) behind the columns that name
// the run; only runs and cases carry those. The error names an unknown table, or a varied column that is empty, twice
// there, or called like a column of the results (letters of either case count as equal, as they do in SQL).
func Of(name string, varied []Column) (Schema, error) {
	for _, t := range tables() {
		if t.name != name {
			continue
		}
		s := Schema{Table: name}
		s.Columns = append(s.Columns, t.columns[:t.keys]...)
		if t.varied {
			s.Columns = append(s.Columns, varied...)
		}
		s.Columns = append(s.Columns, t.columns[t.keys:]...)
		return s, s.check()
	}
	return Schema{}, fmt.Errorf("table %q: there is no such table; there are %s", name, strings.Join(names(), ", "))
}

func names() []string {
	var all []string
	for _, t := range tables() {
		all = append(all, t.name)
	}
	return all
}

func (s Schema) check() error {
	seen := map[string]bool{}
	for _, c := range s.Columns {
		low := strings.ToLower(c.Name)
		if low == "" {
			return fmt.Errorf("table %s: a varied column has no name: give it one with `name = \"…\"`", s.Table)
		}
		if seen[low] {
			return fmt.Errorf("table %s: column %q is there twice: give the varied column another name with `name = \"…\"`", s.Table, c.Name)
		}
		if c.Kind > Flag {
			return fmt.Errorf("table %s: column %q is of kind %d: wanted Int, Real, Text or Flag", s.Table, c.Name, c.Kind)
		}
		seen[low] = true
	}
	return nil
}

// index of a column, -1 if there is none of that name.
func (s Schema) index(name string) int {
	for i, c := range s.Columns {
		if c.Name == name {
			return i
		}
	}
	return -1
}

// Markdown is the table of the columns for a page of documentation.
func (s Schema) Markdown() string {
	var b strings.Builder
	b.WriteString("| column | type | unit | meaning |\n|---|---|---|---|\n")
	for _, c := range s.Columns {
		kind := c.Kind.String()
		if c.Null {
			kind += ", may be empty"
		}
		fmt.Fprintf(&b, "| `%s` | %s | %s | %s |\n", c.Name, kind, c.Unit, c.Means)
	}
	return b.String()
}
