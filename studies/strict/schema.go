package strict

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Kind is the type of a value.
type Kind uint8

const (
	Text    Kind = iota // a string
	Number              // a finite number, whole or not
	Whole               // a whole number without a decimal point
	Flag                // true or false
	Numbers             // a list of finite numbers
	List                // a list of numbers or of strings
)

// Field is one key of a file: what it may hold, when it applies and what it means.
type Field struct {
	Key     string   // full path; # stands for an array element
	Kind    Kind     // of the value
	Unit    string   // as it is read, empty for none
	Range   string   // interval of each number, as "(0, 90]"; empty = any finite number
	Count   [2]int   // least and most elements of a list; most 0 = no limit
	Choices []string // the texts allowed; empty = any
	Default any      // string, float64, int64, bool or []float64; nil = none
	When    string   // other keys of the same table that it belongs to, as "shape=disc,ring & plane!=ab || shape=mask"
	Needed  bool     // an error where it is missing although When holds
	Means   string   // half a sentence for the reader
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

// Field finds the field of a path. The path of one number of a list ("seed.1.at_mm.2") gives the field of the list, with
// element = 2; else element is 0.
func (s Schema) Field(path string) (f *Field, element int) {
	want := pattern(path)
	for i := range s {
		if s[i].Key == want {
			return &s[i], 0
		}
		if s[i].Kind == Numbers && want == s[i].Key+".#" {
			n, _ := strconv.Atoi(path[strings.LastIndexByte(path, '.')+1:])
			return &s[i], n
		}
	}
	return nil, 0
}

// table tells whether a pattern is a table of the schema and whether it is an array of tables.
func (s Schema) table(want string) (table, array bool) {
	for i := range s {
		rest, ok := strings.CutPrefix(s[i].Key, want+".")
		if !ok {
			continue
		}
		if strings.HasPrefix(rest, "#.") {
			return true, true
		}
		return true, false
	}
	return want == "", false
}

// Nearest is the valid key most like an unknown one, empty where none is near.
func (s Schema) Nearest(path string) string {
	want := pattern(path)
	parent, last := split(want)
	best, least := "", len(last)/3+2
	try := func(key, by string, penalty int) {
		if d := distance(strings.ToLower(last), strings.ToLower(by)) + penalty; d < least {
			best, least = key, d
		}
	}
	for i := range s {
		p, l := split(s[i].Key)
		if p == parent {
			try(numbered(s[i].Key, path), l, 0)
		} else if rest, ok := strings.CutPrefix(p, dotted(parent)); ok || parent == "" {
			first, _, _ := strings.Cut(rest, ".")
			try(numbered(dotted(parent)+first, path), first, 0)
		}
		try(numbered(s[i].Key, path), l, 1)
	}
	return best
}

func dotted(parent string) string {
	if parent == "" {
		return ""
	}
	return parent + "."
}

func split(path string) (parent, last string) {
	if i := strings.LastIndexByte(path, '.'); i >= 0 {
		return path[:i], path[i+1:]
	}
	return "", path
}

// numbered puts the element numbers of a path into a pattern as far as the two agree, and 1 beyond.
func numbered(want, path string) string {
	out, have := strings.Split(want, "."), strings.Split(path, ".")
	same := true
	for i, p := range out {
		_, err := strconv.Atoi(at(have, i))
		same = same && (p == at(have, i) || p == "#" && err == nil && at(have, i) != "0")
		if p == "#" && same {
			out[i] = have[i]
		} else if p == "#" {
			out[i] = "1"
		}
	}
	return strings.Join(out, ".")
}

func at(parts []string, i int) string {
	if i < len(parts) {
		return parts[i]
	}
	return ""
}

// distance counts the edits between two words; a swap of neighbours is one.
func distance(a, b string) int {
	d := make([][]int, len(a)+1)
	for i := range d {
		d[i] = make([]int, len(b)+1)
		d[i][0] = i
	}
	for j := range d[0] {
		d[0][j] = j
	}
	for i := 1; i <= len(a); i++ {
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			d[i][j] = min(d[i-1][j]+1, d[i][j-1]+1, d[i-1][j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				d[i][j] = min(d[i][j], d[i-2][j-2]+1)
			}
		}
	}
	return d[len(a)][len(b)]
}

// interval reads a Range; an empty one is everything finite.
func interval(text string) (lo, hi float64, openLo, openHi bool) {
	if text == "" {
		return math.Inf(-1), math.Inf(1), true, true
	}
	low, high, _ := strings.Cut(text[1:len(text)-1], ",")
	lo, _ = strconv.ParseFloat(strings.TrimSpace(low), 64)
	hi, _ = strconv.ParseFloat(strings.TrimSpace(high), 64)
	return lo, hi, text[0] == '(', text[len(text)-1] == ')'
}

func within(text string, v float64) bool {
	lo, hi, openLo, openHi := interval(text)
	return (v > lo || !openLo && v == lo) && (v < hi || !openHi && v == hi)
}

// bounds says an interval in words: "above 0", "from 0 to 90".
func bounds(text string) string {
	lo, hi, openLo, openHi := interval(text)
	low := map[bool]string{true: "above ", false: "at least "}[openLo] + short(lo)
	high := map[bool]string{true: "below ", false: "at most "}[openHi] + short(hi)
	switch {
	case text == "":
		return ""
	case math.IsInf(hi, 1):
		return low
	case math.IsInf(lo, -1):
		return high
	case !openLo && !openHi:
		return "from " + short(lo) + " to " + short(hi)
	}
	return low + " and " + high
}

// short is a number in the fewest digits; whole numbers up to ten millions without an exponent.
func short(v float64) string {
	if v == math.Trunc(v) && math.Abs(v) <= 1e7 {
		return strconv.FormatFloat(v, 'f', 0, 64)
	}
	return strconv.FormatFloat(v, 'g', -1, 64)
}

// Wanted says in words what a field takes.
func (f *Field) Wanted() string {
	if len(f.Choices) > 0 {
		return "wanted one of " + quotedList(f.Choices)
	}
	words := map[Kind]string{Text: "a string", Number: "a number", Whole: "a whole number", Flag: "true or false",
		Numbers: "a list of " + f.many() + "numbers", List: "a list of numbers or of strings"}[f.Kind]
	if f.Range != "" {
		if f.Kind == Numbers {
			words += ", each"
		}
		words += " " + bounds(f.Range)
	}
	if f.Unit != "" {
		words += " (" + f.Unit + ")"
	}
	return "wanted " + words
}

// many says how many numbers a list has.
func (f *Field) many() string {
	switch least, most := f.Count[0], f.Count[1]; {
	case least == most && least > 0:
		return fmt.Sprintf("%d ", least)
	case most > 0:
		return fmt.Sprintf("%d to %d ", least, most)
	case least > 0:
		return fmt.Sprintf("at least %d ", least)
	}
	return ""
}

func quotedList(texts []string) string {
	out := make([]string, len(texts))
	for i, t := range texts {
		out[i] = strconv.Quote(t)
	}
	return strings.Join(out, ", ")
}
