package strict

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"

	"github.com/BurntSushi/toml"
)

// Read decodes a text against a schema. The document is usable even where there are problems: it holds what was right,
// so that further checks can add to them. It is nil only where the syntax is wrong.
func Read(file, text string, schema Schema) (*Document, Problems) {
	if p := strange(file, text); p != nil {
		return nil, Problems{*p}
	}
	decoded := map[string]any{}
	if _, err := toml.Decode(text, &decoded); err != nil {
		return nil, schema.syntax(file, text, err)
	}
	d := &Document{file: file, schema: schema, lines: lines(text), values: map[string]any{}, counts: map[string]int{}, fields: map[string]*Field{}}
	r := &reader{Document: d}
	r.walk("", decoded)
	for i := range schema {
		for _, path := range d.instances(schema[i].Key) {
			d.fields[path] = &schema[i]
		}
	}
	return d, r.found
}

type reader struct {
	*Document
	found Problems
}

func (r *reader) report(path string, value any, wanted, hint string) {
	r.found = append(r.found, Problem{File: r.file, Line: r.Line(path), Key: path, Value: written(value), Wanted: wanted, Hint: hint})
}

func (r *reader) walk(path string, value any) {
	table, array := r.schema.table(pattern(path))
	if !table {
		r.leaf(path, value)
		return
	}
	elements, isArray := tables(value)
	single, isTable := value.(map[string]any)
	switch {
	case array && isArray:
		r.counts[path] = len(elements)
		for i, e := range elements {
			r.children(join(path, strconv.Itoa(i+1)), e)
		}
	case array:
		r.report(path, value, severalWanted, several(path))
	case isTable:
		r.children(path, single)
	case isArray && len(elements) > 0:
		r.report(path, value, "wanted one table, not several", "write ["+path+"]")
	default:
		r.report(path, value, "wanted a table", "write ["+path+"] and its keys below it")
	}
}

func (r *reader) children(path string, table map[string]any) {
	for key, value := range table {
		r.walk(join(path, part(key)), value)
	}
}

// tables takes both forms of an array of tables.
func tables(value any) ([]map[string]any, bool) {
	switch v := value.(type) {
	case []map[string]any:
		return v, true
	case []any:
		out := make([]map[string]any, len(v))
		for i, e := range v {
			t, ok := e.(map[string]any)
			if !ok {
				return nil, false
			}
			out[i] = t
		}
		return out, true
	}
	return nil, false
}

func (r *reader) leaf(path string, value any) {
	f, element := r.schema.Field(path)
	if f == nil || element > 0 {
		hint := "see `onegrain help study` for the keys there are"
		if near := r.schema.Nearest(path); near != "" {
			hint = "did you mean " + near + "?"
		}
		r.report(path, value, "unknown key", hint)
		return
	}
	typed, wanted, hint := f.take(value)
	if wanted != "" {
		r.report(path, value, wanted, hint)
		return
	}
	r.values[path] = typed
}

// Take checks a value for a path of this field and gives it the type that the document keeps: float64, int64, string,
// bool, []float64 or []any. A path that names one number of a list takes a number. Wanted is empty where all is well.
func (f *Field) Take(path string, value any) (typed any, wanted, hint string) {
	one := *f
	if f.Kind == Numbers && pattern(path) == f.Key+".#" {
		one.Kind, one.Count = Number, [2]int{}
	}
	return one.take(value)
}

// take turns a decoded value into the one the document keeps; wanted is empty where all is well.
func (f *Field) take(value any) (typed any, wanted, hint string) {
	switch f.Kind {
	case Text:
		return f.text(value)
	case Flag:
		if v, ok := value.(bool); ok {
			return v, "", ""
		}
		return nil, f.Wanted(), "write true or false without quotes"
	case Numbers:
		return f.numbers(value)
	case List:
		return f.list(value)
	}
	return f.number(value)
}

func (f *Field) text(value any) (typed any, wanted, hint string) {
	v, ok := value.(string)
	if !ok {
		return nil, f.Wanted(), "strings stand in quotes"
	}
	if len(f.Choices) == 0 {
		if v == "" {
			return nil, f.Wanted(), "it may not be empty"
		}
		return v, "", ""
	}
	best, least := "", len(v)/2+1
	for _, c := range f.Choices {
		if c == v {
			return v, "", ""
		}
		if d := distance(letters(v), letters(c)); d < least {
			best, least = c, d
		}
	}
	if best != "" {
		hint = "did you mean " + strconv.Quote(best) + "?"
	}
	return nil, f.Wanted(), hint
}

// letters is a word without what people spell this way and that: capitals, spaces, hyphens, commas.
func letters(word string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, word)
}

func (f *Field) number(value any) (typed any, wanted, hint string) {
	var x float64
	switch v := value.(type) {
	case int64:
		x, typed = float64(v), v
	case float64:
		x, typed = v, v
		if f.Kind == Whole && within(f.Range, v) && v == math.Floor(v) {
			return nil, f.Wanted(), "write it without a decimal point"
		}
	case string:
		hint := "write numbers without quotes"
		if _, err := strconv.ParseFloat(strings.TrimSpace(v), 64); err != nil && f.Unit != "" && strings.ContainsAny(v, "0123456789") {
			hint += " and without their unit"
		}
		return nil, f.Wanted(), hint
	default:
		return nil, f.Wanted(), ""
	}
	_, whole := typed.(int64)
	switch {
	case math.IsNaN(x) || math.IsInf(x, 0):
		return nil, f.Wanted(), "inf and nan are no quantities"
	case f.Kind == Whole && !whole, !within(f.Range, x):
		return nil, f.Wanted(), ""
	case f.Kind == Whole:
		return typed, "", ""
	}
	return x + 0, "", "" // +0 turns a negative zero into zero
}

func (f *Field) numbers(value any) (typed any, wanted, hint string) {
	items, ok := value.([]any)
	if !ok {
		return nil, f.Wanted(), "lists stand in [ ]"
	}
	if len(items) < f.Count[0] || f.Count[1] > 0 && len(items) > f.Count[1] {
		hint := "it has " + strconv.Itoa(len(items))
		if len(items) > 1 && len(items) == 2*f.Count[1] {
			hint += fmt.Sprintf("; if these are decimal commas, write points: [%s.%s, …]", written(items[0]), written(items[1]))
		}
		return nil, f.Wanted(), hint
	}
	one := *f
	one.Kind, one.Count = Number, [2]int{}
	out := make([]float64, len(items))
	for i, item := range items {
		v, wanted, _ := one.number(item)
		if wanted != "" {
			return nil, f.Wanted(), "number " + strconv.Itoa(i+1) + " is " + written(item)
		}
		out[i] = v.(float64)
	}
	return out, "", ""
}

func (f *Field) list(value any) (typed any, wanted, hint string) {
	items, ok := value.([]any)
	if !ok {
		return nil, f.Wanted(), "lists stand in [ ]"
	}
	if len(items) < f.Count[0] {
		return nil, f.Wanted(), "it is empty"
	}
	for i, item := range items {
		switch item.(type) {
		case int64, float64, string, bool:
		default:
			return nil, f.Wanted(), "element " + strconv.Itoa(i+1) + " is " + written(item)
		}
	}
	return items, "", ""
}
