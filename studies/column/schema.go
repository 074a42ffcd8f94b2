package column

import (
	"cmp"
	_ "embed" // the columns
	"fmt"
	"reflect"
	"slices"
	"strings"
)

//go:embed columns.txt
var texts string

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

// ColumnOf is the column that a varied key of a study makes where it is given no name: its last
// part; of a number in a list, the last two.
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
	Table   string // one of Tables
	Columns []Column

	fields []field // of the columns behind those that name the run and the varied ones
}

// Tables are the names of all tables.
func Tables() []string { return []string{"runs", "cases", "grains", "boundaries", "history"} }

// rows are the rows of the tables.
func rows() map[string]any {
	return map[string]any{"runs": Run{}, "cases": Case{}, "grains": Grain{}, "boundaries": Boundary{}, "history": Moment{}}
}

// Of is the schema of a table, with the varied columns of the study (Int, Real or Text) behind the
// columns that name the run; only runs and cases carry those. The error names an unknown table, or
// a varied column that is empty, twice there, or called like a column of the results (letters of
// either case count as equal, as they do in SQL).
func Of(table string, varied []Column) (Schema, error) {
	row, ok := rows()[table]
	if !ok {
		return Schema{}, fmt.Errorf("table %q: there is no such table; there are %s",
			table, strings.Join(Tables(), ", "))
	}
	s := Schema{Table: table, Columns: []Column{
		{"case_id", Text, false, "", "first 16 hex digits of the SHA-256 of the physics of the case"},
	}}
	if table != "cases" {
		s.Columns = append(s.Columns, Column{"replicate", Int, false, "1", "run of the case, from 1"})
	}
	if table == "runs" || table == "cases" {
		s.Columns = append(s.Columns, varied...)
	}
	fields := map[string]field{}
	gather(fields, reflect.TypeOf(row), "", func(row reflect.Value) reflect.Value { return row })
	_, text, _ := strings.Cut(texts, "\n["+table+"]\n")
	text, _, _ = strings.Cut(text, "\n\n")
	for line := range strings.Lines(text) {
		part := strings.Split(strings.TrimSpace(line), " | ")
		f, ok := fields[squeezed(cmp.Or(part[3], part[0]))]
		if !ok {
			panic("no field of " + table + " for the column " + part[0])
		}
		f.empty = part[2]
		s.Columns = append(s.Columns, Column{part[0], f.kind, f.empty != "", part[1], part[4]})
		s.fields = append(s.fields, f)
	}
	return s, s.Check()
}

// Check says what is wrong with the columns.
func (s Schema) Check() error {
	seen := map[string]bool{}
	for _, c := range s.Columns {
		low := strings.ToLower(c.Name)
		switch {
		case low == "":
			return fmt.Errorf("table %s: a varied column has no name: give it one with `name = \"…\"`", s.Table)
		case seen[low]:
			return fmt.Errorf("table %s: column %q is there twice: give the varied column another name with `name = \"…\"`",
				s.Table, c.Name)
		case c.Kind > Flag:
			return fmt.Errorf("table %s: column %q is of kind %d: wanted Int, Real, Text or Flag", s.Table, c.Name, c.Kind)
		}
		seen[low] = true
	}
	return nil
}

// Row is the values of a row in the order of the columns of a schema made by Of: row is a *Run,
// *Case, *Grain, *Boundary or *Moment, as the table wants it. replicate is from 1, and left out in
// the table of cases, varied values wherever there are no such columns. A value that does not exist
// is nil or NaN.
func (s Schema) Row(id string, replicate int, varied []any, row any) []any {
	values := make([]any, 0, len(s.Columns))
	values = append(values, id)
	if s.Table != "cases" {
		values = append(values, replicate)
	}
	if s.Table == "runs" || s.Table == "cases" {
		values = append(values, varied...)
	}
	run, is := row.(*Run)
	failed := is && run.Status == "failed"
	for _, f := range s.fields {
		value := f.of(reflect.ValueOf(row).Elem())
		if f.empty != "" && failed || f.empty == "zero" && value.IsZero() {
			values = append(values, nil)
		} else {
			values = append(values, value.Interface())
		}
	}
	return values
}

// Index of a column, -1 if there is none of that name.
func (s Schema) Index(name string) int {
	return slices.IndexFunc(s.Columns, func(c Column) bool { return c.Name == name })
}

// Varied are the columns that a study has put into its table of runs or cases; none in the others.
func (s Schema) Varied() []Column {
	fixed, err := Of(s.Table, nil)
	if err != nil {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(s.Columns), func(c Column) bool { return fixed.Index(c.Name) >= 0 })
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
