package strict

import (
	"fmt"
	"maps"
	"slices"
	"sort"
	"strconv"
	"strings"
)

// Document is a file that was read: a flat table from path to value. Lookups of absent keys give zero values; Has tells.
type Document struct {
	file   string
	schema Schema
	lines  map[string]int
	values map[string]any    // string, float64, int64, bool, []float64 or []any
	counts map[string]int    // elements of the arrays of tables
	fields map[string]*Field // of every path there can be, but for single numbers of lists; never changed after reading
}

// Line is the line of a path, or of the table around it, or 0.
func (d *Document) Line(path string) int {
	for path != "" {
		if n := d.lines[path]; n > 0 {
			return n
		}
		path, _ = split(path)
	}
	return 0
}

// Has tells whether a path has a value.
func (d *Document) Has(path string) bool { _, ok := d.values[path]; return ok }

// Count is the number of elements of an array of tables.
func (d *Document) Count(array string) int { return d.counts[array] }

// Number is the value of a Number or Whole key, in the unit of the file.
func (d *Document) Number(path string) float64 {
	if n, ok := d.values[path].(int64); ok {
		return float64(n)
	}
	v, _ := d.values[path].(float64)
	return v
}

// Whole is the value of a Whole key.
func (d *Document) Whole(path string) int64 { v, _ := d.values[path].(int64); return v }

// Text is the value of a Text key.
func (d *Document) Text(path string) string { v, _ := d.values[path].(string); return v }

// Flag is the value of a Flag key.
func (d *Document) Flag(path string) bool { v, _ := d.values[path].(bool); return v }

// Numbers is the value of a Numbers key; it must not be changed.
func (d *Document) Numbers(path string) []float64 { v, _ := d.values[path].([]float64); return v }

// List is the value of a List key; it must not be changed.
func (d *Document) List(path string) []any { v, _ := d.values[path].([]any); return v }

// Problem reports that the value of a path, or its absence, is wrong.
func (d *Document) Problem(path, wanted, hint string) Problem {
	return Problem{File: d.file, Line: d.Line(path), Key: path, Value: show(d.values[path]), Wanted: wanted, Hint: hint}
}

// Fill gives a path a value where it has none and where the key applies beside the others.
func (d *Document) Fill(path string, value any) {
	f, _ := d.schema.Field(path)
	if f == nil || d.Has(path) || !d.applies(f, path) {
		return
	}
	d.values[path] = value
}

// With is the document with some values exchanged. Each must be of the type of its key; a path may name one number of a
// list. The document itself is not changed.
func (d *Document) With(paths []string, values []any) (*Document, Problems) {
	var found Problems
	out := *d
	out.values = maps.Clone(d.values)
	for i, path := range paths {
		f, element := d.schema.Field(path)
		if f == nil {
			found = append(found, Problem{File: d.file, Key: path, Value: show(values[i]), Wanted: "unknown key"})
			continue
		}
		if p := out.exchange(f, path, element, values[i]); p != nil {
			found = append(found, *p)
		}
	}
	return &out, found
}

func (d *Document) exchange(f *Field, path string, element int, value any) *Problem {
	one := *f
	if element > 0 {
		one.Kind, one.Count = Number, [2]int{}
	}
	typed, wanted, hint := one.take(value)
	if wanted != "" {
		return &Problem{File: d.file, Line: d.Line(path), Key: path, Value: show(value), Wanted: wanted, Hint: hint}
	}
	if element == 0 {
		d.values[path] = typed
		return nil
	}
	list, _ := split(path)
	old := d.Numbers(list)
	if element > len(old) {
		return &Problem{File: d.file, Line: d.Line(path), Key: path, Value: show(value), Wanted: fmt.Sprintf("%s has %d numbers", list, len(old))}
	}
	changed := append([]float64(nil), old...)
	changed[element-1] = typed.(float64)
	d.values[list] = changed
	return nil
}

// Complete fills in defaults and finds the keys that are missing and those that mean nothing beside the others.
func (d *Document) Complete() Problems {
	var found Problems
	for i := range d.schema {
		f := &d.schema[i]
		for _, path := range d.instances(f.Key) {
			switch applies := d.applies(f, path); {
			case d.Has(path) && !applies && d.undecided(f, path):
			case d.Has(path) && !applies:
				found = append(found, d.Problem(path, "has no meaning here", "it belongs to "+d.condition(f, path)))
			case !applies || d.Has(path):
			case f.Default != nil:
				d.values[path] = f.Default
			case f.Needed && !d.Refused(path):
				found = append(found, Problem{File: d.file, Line: d.Line(path), Key: path, Wanted: "missing, " + f.Wanted(), Hint: f.Means})
			}
		}
	}
	return found
}

// Refused tells whether a key stands in the file though it has no value: it was reported already.
func (d *Document) Refused(path string) bool {
	return d.lines[path] > 0 && !d.Has(path) && d.counts[path] == 0
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

// Canonical is the text of all values under the given top-level keys that differ from their defaults, one a line in the
// order of their paths. Two files that mean the same give the same text.
func (d *Document) Canonical(top ...string) string {
	var rows []string
	for path, value := range d.values {
		root, _, _ := strings.Cut(path, ".")
		f := d.fields[path]
		if !slices.Contains(top, root) || f != nil && f.Default != nil && show(f.Default) == show(value) {
			continue
		}
		rows = append(rows, path+" = "+show(value))
	}
	for array, n := range d.counts {
		if root, _, _ := strings.Cut(array, "."); slices.Contains(top, root) && n > 0 {
			rows = append(rows, array+" x "+strconv.Itoa(n))
		}
	}
	sort.Strings(rows)
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
