package strict

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// Read decodes a text against a schema. The document is usable even where there are problems: it
// holds what was right, so that further checks can add to them. It is nil only where the syntax is
// wrong.
func Read(file, text string, schema Schema) (*Document, Problems) {
	schema.check()
	found, decoded := strange(text), map[string]any{}
	if found == nil {
		if err := Decode(text, &decoded); err != nil {
			found = schema.syntax(text, err)
		}
	}
	if found != nil {
		for i := range found {
			found[i].File = file
		}
		return nil, found
	}
	d := &Document{file: file, schema: schema, values: map[string]any{}, counts: map[string]int{},
		fields: map[string]*Field{}}
	d.lines, _ = scan(text)
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
	r.found = append(r.found, Problem{r.file, r.Line(path), path, written(value), wanted, hint, nil})
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
func tables(value any) (out []map[string]any, all bool) {
	if v, is := value.([]map[string]any); is {
		return v, true
	}
	v, all := value.([]any)
	for _, e := range v {
		t, is := e.(map[string]any)
		out, all = append(out, t), all && is
	}
	return out, all
}

func (r *reader) leaf(path string, value any) {
	f, element := r.schema.Field(path)
	if f == nil || element > 0 {
		r.report(path, value, "unknown key", r.schema.Unknown(path))
		return
	}
	typed, wanted, hint := f.Take(path, value)
	if wanted != "" {
		r.report(path, value, wanted, hint)
		return
	}
	r.values[path] = typed
}

// Take checks a value for a path of this field and gives it the type that the document keeps:
// float64, int64, string, bool, []float64 or []any. A path that names one number of a list takes a
// number. Wanted is empty where all is well.
func (f *Field) Take(path string, value any) (typed any, wanted, hint string) {
	if _, list := f.Like.([]float64); list && pattern(path) == f.Key+".#" {
		f = f.one()
	}
	switch f.Like.(type) {
	case string:
		typed, hint = f.text(value)
	case bool:
		hint = "write true or false without quotes"
		if v, is := value.(bool); is {
			typed = v
		}
	case []float64, []any:
		typed, hint = f.list(value)
	default:
		typed, hint = f.number(value)
	}
	if typed != nil {
		return typed, "", ""
	}
	return nil, f.Wanted(), hint
}

// text takes a text; like number and list it gives nil and perhaps a hint where the value is wrong.
func (f *Field) text(value any) (typed any, hint string) {
	v, ok := value.(string)
	switch {
	case !ok:
		return nil, "strings are written in quotes"
	case len(f.Choices) == 0 && v == "":
		return nil, "it may not be empty"
	case len(f.Choices) == 0 || slices.Contains(f.Choices, v):
		return v, ""
	}
	least := len(v)/2 + 1
	for _, c := range f.Choices {
		if d := distance(letters(v), letters(c)); d < least {
			least, hint = d, "did you mean "+strconv.Quote(c)+"?"
		}
	}
	return nil, hint
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

func (f *Field) number(value any) (typed any, hint string) {
	_, whole := f.Like.(int64)
	switch v := value.(type) {
	case int64:
		switch x := float64(v); {
		case !f.Range.holds(x):
		case whole:
			return v, ""
		default:
			return x, ""
		}
	case float64:
		switch {
		case math.IsNaN(v) || math.IsInf(v, 0):
			hint = "inf and nan are not numbers here"
		case whole && v == math.Floor(v) && f.Range.holds(v):
			hint = "write it without a decimal point"
		case !whole && f.Range.holds(v):
			return v + 0, "" // +0 turns a negative zero into zero
		}
	case string:
		hint = "write numbers without quotes"
		_, err := strconv.ParseFloat(strings.TrimSpace(v), 64)
		if err != nil && f.Unit != "" && strings.ContainsAny(v, "0123456789") {
			hint += " and without their unit"
		}
	}
	return nil, hint
}

func (f *Field) list(value any) (typed any, hint string) {
	items, ok := value.([]any)
	_, mixed := f.Like.([]any)
	switch n := len(items); {
	case !ok:
		return nil, "lists are written in [ ]"
	case mixed && n < f.Least:
		return nil, "it is empty"
	case n < f.Least || f.Most > 0 && n > f.Most:
		hint = "it has " + strconv.Itoa(n)
		if n > 1 && n == 2*f.Most {
			hint += fmt.Sprintf("; if these are decimal commas, write points: [%s.%s, …]",
				written(items[0]), written(items[1]))
		}
		return nil, hint
	}
	numbers := make([]float64, len(items))
	for i, item := range items {
		what := "number "
		if mixed {
			what = "element "
			switch item.(type) {
			case int64, float64, string, bool:
			default:
				ok = false
			}
		} else {
			v, _ := f.one().number(item)
			numbers[i], ok = v.(float64)
		}
		if !ok {
			return nil, fmt.Sprint(what, i+1, " is ", written(item))
		}
	}
	if mixed {
		return items, ""
	}
	return numbers, ""
}
