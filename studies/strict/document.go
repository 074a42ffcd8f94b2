package strict

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// Document is a file that was read: a flat table from path to value. Lookups of absent keys give
// zero values; Has tells. A lookup of a path that the schema does not have panics: it is a fault of
// the program.
type Document struct {
	file   string
	schema Schema
	lines  map[string]int
	values map[string]any    // string, float64, int64, bool, []float64 or []any
	counts map[string]int    // elements of the arrays of tables
	fields map[string]*Field // of the paths of the elements there are; never changed after reading
}

// Line is the line of a path, or of the table around it, or 0.
func (d *Document) Line(path string) int {
	for ; path != ""; path, _ = split(path) {
		if n := d.lines[path]; n > 0 {
			return n
		}
	}
	return 0
}

// at is the value of a path, nil where it is absent.
func (d *Document) at(path string) any {
	v, ok := d.values[path]
	if !ok && d.fields[path] == nil {
		if f, _ := d.schema.Field(path); f == nil {
			panic("no study has the key " + path)
		}
	}
	return v
}

// Has tells whether a path has a value.
func (d *Document) Has(path string) bool { return d.at(path) != nil }

// Count is the number of elements of an array of tables.
func (d *Document) Count(array string) int {
	n, ok := d.counts[array]
	if _, is := d.schema.table(pattern(array)); !ok && !is {
		panic("no study has tables " + array)
	}
	return n
}

// value is the value of a path, the zero one where it is absent or of another type.
func value[T any](d *Document, path string) T {
	v, _ := d.at(path).(T)
	return v
}

// Number is the value of a key that holds a number, whole or not, in the unit of the file.
func (d *Document) Number(path string) float64 {
	if n, whole := d.at(path).(int64); whole {
		return float64(n)
	}
	return value[float64](d, path)
}

// Whole is the value of a key that holds a whole number.
func (d *Document) Whole(path string) int64 { return value[int64](d, path) }

// Text is the value of a key that holds a text.
func (d *Document) Text(path string) string { return value[string](d, path) }

// Flag is the value of a key that is true or false.
func (d *Document) Flag(path string) bool { return value[bool](d, path) }

// Numbers is the value of a key that holds a list of numbers; it must not be changed.
func (d *Document) Numbers(path string) []float64 { return value[[]float64](d, path) }

// List is the value of a key that holds a list of numbers or texts; it must not be changed.
func (d *Document) List(path string) []any { return value[[]any](d, path) }

// Problem reports that the value of a path, or its absence, is wrong. The path may be a table.
func (d *Document) Problem(path, wanted, hint string) Problems {
	var value any
	if table, _ := d.schema.table(strings.TrimSuffix(pattern(path), ".#")); !table {
		value = d.at(path)
	}
	return Problems{d.refusal(path, value, wanted, hint)}
}

func (d *Document) refusal(path string, value any, wanted, hint string) Problem {
	return Problem{d.file, d.Line(path), path, show(value), wanted, hint, nil}
}

// Fill gives a path a value where it has none and where the key applies beside the others.
func (d *Document) Fill(path string, value any) {
	if f, _ := d.schema.Field(path); !d.Has(path) && d.applies(f, path) {
		d.values[path] = value
	}
}

// With is the document with some values exchanged. Each must be of the type of its key; a path may
// name one number of a list. The document itself is not changed.
func (d *Document) With(paths []string, values []any) (*Document, Problems) {
	var found Problems
	out := *d
	out.values = maps.Clone(d.values)
	for i, path := range paths {
		wanted, hint := out.exchange(path, values[i])
		if wanted != "" {
			found = append(found, out.refusal(path, values[i], wanted, hint))
		}
	}
	return &out, found
}

func (d *Document) exchange(path string, value any) (wanted, hint string) {
	f, element := d.schema.Field(path)
	if f == nil {
		return "unknown key", ""
	}
	typed, wanted, hint := f.Take(path, value)
	switch {
	case wanted != "":
		return wanted, hint
	case element == 0:
		d.values[path] = typed
		return "", ""
	}
	list, _ := split(path)
	changed := slices.Clone(d.Numbers(list))
	if element > len(changed) {
		return fmt.Sprintf("%s has %d numbers", list, len(changed)), ""
	}
	changed[element-1] = typed.(float64)
	d.values[list] = changed
	return "", ""
}

// Complete fills in defaults and finds the keys that are missing and those that mean nothing beside
// the others.
func (d *Document) Complete() Problems {
	var found Problems
	for i := range d.schema {
		f := &d.schema[i]
		for _, path := range d.instances(f.Key) {
			switch applies := d.applies(f, path); {
			case d.Has(path) && !applies && !d.undecided(f, path):
				found = append(found, d.Problem(path, "has no meaning here", "it belongs to "+d.condition(f, path))...)
			case d.Has(path) || !applies:
			case f.Default != nil:
				d.values[path] = f.Default
			case f.Needed && !d.Refused(path):
				found = append(found, d.Problem(path, "missing, "+f.Wanted(), f.Means)...)
			}
		}
	}
	return found
}

// Refused tells whether a key or table is in the file though it has no value: it was reported
// already.
func (d *Document) Refused(path string) bool {
	if table, _ := d.schema.table(pattern(path)); table {
		return d.lines[path] > 0 && d.counts[path] == 0
	}
	return !d.Has(path) && d.lines[path] > 0
}

// instances are the paths of a pattern for the elements there are.
func (d *Document) instances(key string) []string {
	before, after, ok := strings.Cut(key, ".#.")
	if !ok {
		return []string{key}
	}
	var out []string
	for i := 1; i <= d.counts[before]; i++ {
		out = append(out, d.instances(before+"."+strconv.Itoa(i)+"."+after)...)
	}
	return out
}

// Canonical is the text of all values under the given top-level keys that differ from their
// defaults, one a line in the order of their paths. Two files that mean the same give the same
// text.
func (d *Document) Canonical(top ...string) string {
	var rows []string
	within := func(path string) bool {
		root, _, _ := strings.Cut(path, ".")
		return slices.Contains(top, root)
	}
	for path, value := range d.values {
		f := d.fields[path]
		if within(path) && (f == nil || f.Default == nil || show(f.Default) != show(value)) {
			rows = append(rows, path+" = "+show(value))
		}
	}
	for array, n := range d.counts {
		if within(array) && n > 0 {
			rows = append(rows, array+" x "+strconv.Itoa(n))
		}
	}
	slices.Sort(rows)
	return strings.Join(rows, "\n")
}

// Without is the document without some paths.
func (d *Document) Without(paths ...string) *Document {
	out := *d
	out.values = maps.Clone(d.values)
	for _, p := range paths {
		delete(out.values, p)
	}
	return &out
}
