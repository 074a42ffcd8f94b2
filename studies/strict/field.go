package strict

import (
	"fmt"
	"strconv"
	"strings"

	"onegrain/studies/unit"
)

// Field is one key of a file: what it may hold, when it applies and what it means. Text and Number
// begin one; its other methods that return a Field add to it.
type Field struct {
	Key         string    // full path; # stands for an array element
	Like        any       // of the type of its values: "", 0.0, int64(0), false, []float64(nil) or []any(nil)
	Unit        string    // as it is read, empty for none
	Range       Range     // of each number
	Least, Most int       // elements of a list; most 0 = no limit
	Choices     []string  // the texts allowed; empty = any
	Default     any       // of the type of Like; nil = none
	When        Condition // beside which other keys it belongs
	Needed      bool      // an error where it is missing although When holds
	Means       string    // half a sentence for the reader
}

// Text is a field that holds a text, one of the choices where there are any.
func Text(key, means string, choices ...string) Field {
	return Field{Key: key, Like: "", Choices: choices, Means: means}
}

// Number is a field that holds a number, in the unit that its key ends in.
func Number(key string, r Range, means string) Field {
	return Field{Key: key, Like: 0.0, Unit: unit.Of(key).Text, Range: r, Means: means}
}

// Whole makes it hold a whole number, written without a decimal point.
func (f Field) Whole() Field {
	f.Like = int64(0)
	return f
}

// List makes it hold that many such numbers; most 0 = no limit.
func (f Field) List(least, most int) Field {
	f.Like, f.Least, f.Most = []float64(nil), least, most
	return f
}

// Or gives it a default.
func (f Field) Or(value any) Field {
	f.Default = value
	return f
}

// Beside gives it a condition.
func (f Field) Beside(when Condition) Field {
	f.When = when
	return f
}

// Must makes it an error where it is missing.
func (f Field) Must() Field {
	f.Needed = true
	return f
}

// In says in which unit, where the key does not end in it.
func (f Field) In(unit string) Field {
	f.Unit = unit
	return f
}

// one is the field of a single number of a list.
func (f *Field) one() *Field {
	out := f.List(0, 0)
	out.Like = 0.0
	return &out
}

// Wanted says in words what a field takes.
func (f *Field) Wanted() string {
	if len(f.Choices) > 0 {
		return `wanted one of "` + strings.Join(f.Choices, `", "`) + `"`
	}
	words, limits := "a number", f.Range.words()
	switch f.Like.(type) {
	case string:
		words = "a string"
	case bool:
		words = "true or false"
	case int64:
		words = "a whole number"
	case []any:
		words = "a list of numbers or of strings"
	case []float64:
		words = "a list of " + f.many() + "numbers"
		if limits != "" {
			words += ", each"
		}
	}
	words += limits
	if f.Unit != "" {
		words += " (" + f.Unit + ")"
	}
	return "wanted " + words
}

// many says how many numbers a list has.
func (f *Field) many() string {
	switch {
	case f.Least == f.Most && f.Least > 0:
		return fmt.Sprintf("%d ", f.Least)
	case f.Most > 0:
		return fmt.Sprintf("%d to %d ", f.Least, f.Most)
	case f.Least > 0:
		return fmt.Sprintf("at least %d ", f.Least)
	}
	return ""
}

// Schema is the table of all keys a file may hold.
type Schema []Field

// pattern turns the element numbers of a path into #.
func pattern(path string) string {
	parts := strings.Split(path, ".")
	for i, p := range parts {
		if n, err := strconv.Atoi(p); i > 0 && err == nil && n > 0 {
			parts[i] = "#"
		}
	}
	return strings.Join(parts, ".")
}

// Field finds the field of a path. The path of one number of a list ("seed.1.at_mm.2") gives the
// field of the list, with element = 2; else element is 0.
func (s Schema) Field(path string) (f *Field, element int) {
	want := pattern(path)
	for i := range s {
		if s[i].Key == want {
			return &s[i], 0
		}
		if _, list := s[i].Like.([]float64); list && want == s[i].Key+".#" {
			_, last := split(path)
			n, _ := strconv.Atoi(last)
			return &s[i], n
		}
	}
	return nil, 0
}

// table tells whether a pattern is a table of the schema and whether it is an array of tables.
func (s Schema) table(want string) (table, array bool) {
	within := want + "."
	for i := range s {
		if strings.HasPrefix(s[i].Key, within) {
			return true, strings.HasPrefix(s[i].Key[len(within):], "#.")
		}
	}
	return want == "", false
}

// Unknown is the next move where a key is not in the schema.
func (s Schema) Unknown(path string) (hint string) {
	if near := s.Nearest(path); near != "" {
		return "did you mean " + near + "?"
	}
	return "see `onegrain help study` for the keys there are"
}

// Nearest is the valid key most like an unknown one, empty where none is near.
func (s Schema) Nearest(path string) string {
	parent, last := split(pattern(path))
	best, least := "", len(last)/3+2
	try := func(key, by string, penalty int) {
		if d := distance(strings.ToLower(last), strings.ToLower(by)) + penalty; d < least {
			best, least = numbered(key, path), d
		}
	}
	for _, f := range s {
		p, l := split(f.Key)
		if p == parent {
			try(f.Key, l, 0)
		} else if rest, below := strings.CutPrefix(p, join(parent, "")); below {
			first, _, _ := strings.Cut(rest, ".")
			try(join(parent, first), first, 0)
		}
		try(f.Key, l, 1)
	}
	return best
}

func split(path string) (parent, last string) {
	i := strings.LastIndexByte(path, '.')
	return path[:max(i, 0)], path[i+1:]
}

func join(path, part string) string {
	if path == "" {
		return part
	}
	return path + "." + part
}

// numbered puts the element numbers of a path into a pattern as far as the two agree, and 1 beyond.
func numbered(want, path string) string {
	out, have, same := strings.Split(want, "."), strings.Split(path, "."), true
	of := strings.Split(pattern(path), ".")
	for i, p := range out {
		if same = same && i < len(have) && p == of[i]; p == "#" {
			out[i] = "1"
		}
		if p == "#" && same {
			out[i] = have[i]
		}
	}
	return strings.Join(out, ".")
}

// distance counts the edits between two words; a swap of neighbours is one.
func distance(a, b string) int {
	d := make([][]int, len(a)+1)
	for i := range d {
		d[i] = make([]int, len(b)+1)
		for j := range d[i] {
			switch {
			case i == 0 || j == 0:
				d[i][j] = i + j
				continue
			case a[i-1] == b[j-1]:
				d[i][j] = d[i-1][j-1]
				continue
			}
			d[i][j] = 1 + min(d[i-1][j], d[i][j-1], d[i-1][j-1])
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				d[i][j] = min(d[i][j], 1+d[i-2][j-2])
			}
		}
	}
	return d[len(a)][len(b)]
}
