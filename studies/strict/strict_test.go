package strict

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/BurntSushi/toml"
)

const tricky = `# a comment with [brackets] and "quotes
title = """
[not.a.table]
x = 1 # not a comment
"""
plain = 'it''s'
list = [ 1, # one ]
  2,
  [3, 4],
]
inline = { a = 1, b = { c = "}" }, d = [
  { e = 1 }, # , }
  { e = 2 },
] }
dotted.deep."quo ted" = true
"with.point" = 1
[table] # [[no]]
x = "a # b"
[[array]]
y = 1
[[array.inner]]
z = 1
[[array.inner]]
z = 2
[array.sub]
w = 4
[[array]]
y = 2
  [[array.inner]]
  z = 3
[after]
last = """ends in quotes"""""
end = ''''x'''
`

func TestLines(t *testing.T) {
	text := strings.Replace(tricky, "'it''s'", "'its'", 1)
	got, _ := scan(text)
	for path, want := range map[string]int{
		"title": 2, "plain": 6, "list": 7, "list.1": 7, "list.2": 8, "list.3": 9, "list.3.2": 9, "inline.a": 11,
		"inline.b.c": 11, "inline.d.1.e": 12, "inline.d.2.e": 13,
		`dotted.deep."quo ted"`: 15, `"with.point"`: 16, "table": 17, "table.x": 18, "array": 19, "array.1.y": 20,
		"array.1.inner.1": 21, "array.1.inner.1.z": 22,
		"array.1.inner.2.z": 24, "array.1.sub": 25, "array.1.sub.w": 26, "array.2": 27, "array.2.y": 28,
		"array.2.inner.1.z": 30, "after.last": 32, "after.end": 33,
	} {
		if got[path] != want {
			t.Errorf("%s: line %d, wanted %d", path, got[path], want)
		}
	}
}

// TestLinesOfEveryKey: in every study of the repository the line found for a key bears the last
// part of that key.
func TestLinesOfEveryKey(t *testing.T) {
	var paths []string
	for _, pattern := range []string{"../catalog/*.toml", "../../testdata/invalid/*.toml",
		"../../testdata/invalid/base/*.toml"} {
		found, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		paths = append(paths, found...)
	}
	seen := 0
	for _, path := range paths {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		var decoded map[string]any
		if _, err := toml.Decode(string(data), &decoded); err != nil {
			continue // an invalid study whose syntax is wrong
		}
		where, _ := scan(string(data))
		rows := strings.Split(string(data), "\n")
		for key := range decoded {
			if where[part(key)] == 0 {
				t.Errorf("%s: no line for %s", path, key)
			}
		}
		for found, line := range where {
			_, last := split(found)
			if last = strings.Trim(last, `"`); last[0] > '9' && !strings.Contains(rows[line-1], last) {
				t.Errorf("%s:%d: %q does not bear %s", path, line, rows[line-1], found)
			}
			seen++
		}
	}
	if seen < 1000 {
		t.Errorf("only %d keys looked at", seen)
	}
}

func TestLinesEndOnAnything(t *testing.T) {
	for i := range tricky {
		scan(tricky[i:]) // must end, whatever the text
		scan(tricky[:i])
	}
}

func TestDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"", "", 0}, {"a", "", 1}, {"cell", "cell", 0}, {"clel", "cell", 1}, {"disk", "disc", 1}, {"diametre", "diameter",
		1}, {"kitten", "sitting", 3}} {
		if got := distance(c.a, c.b); got != c.want || distance(c.b, c.a) != c.want {
			t.Errorf("%s, %s: %d, wanted %d either way", c.a, c.b, got, c.want)
		}
	}
}

func sample() Schema {
	flat := Is("shape", "disc").And(Is("plane", "ab").Not()).Or(Is("shape", "block").And(Without("plane")))
	return Schema{
		Text("title", ""),
		Text("body.shape", "", "disc", "block").Must(),
		Text("body.plane", "", "ab", "ac"),
		Number("body.height_mm", Above(0).UpTo(10), "height").Beside(flat).Must(),
		Number("body.cells", Between(1, 9), "").Whole().Or(int64(3)),
		Number("seed.#.at_mm", Range{}, "").List(2, 2).Or([]float64{0, 0}),
		{Key: "seed.#.ok", Like: false, Default: false},
		{Key: "values", Like: []any(nil), Least: 1},
	}
}

func TestNearest(t *testing.T) {
	for path, want := range map[string]string{
		"titel": "title", "body.hight_mm": "body.height_mm", "height_mm": "body.height_mm", "seed.2.at_m": "seed.2.at_mm",
		"seeds.1.ok": "seed.1.ok", "seed.3.shape": "body.shape",
		"bodi": "body", "body.zzzzzzzzzzzz": "", "seed.0.at_mm": "seed.1.at_mm",
	} {
		if got := sample().Nearest(path); got != want {
			t.Errorf("%s: %q, wanted %q", path, got, want)
		}
	}
}

func TestConditions(t *testing.T) {
	for text, want := range map[string]string{
		"shape = 'disc'\nheight_mm = 5":                "",
		"shape = 'disc'\nplane = 'ac'\nheight_mm = 5":  "",
		"shape = 'block'\nheight_mm = 5":               "",
		"shape = 'disc'\nplane = 'ab'":                 "",
		"shape = 'disc'\nplane = 'ab'\nheight_mm = 5":  "has no meaning here",
		"shape = 'block'\nplane = 'ac'\nheight_mm = 5": "has no meaning here",
		"shape = 'block'":                              "missing",
		"plane = 'ab'":                                 "missing",
	} {
		d, found := Read("f", "[body]\n"+text, sample())
		found = append(found, d.Complete()...)
		if want == "" && len(found) > 0 || want != "" && (len(found) != 1 || !strings.Contains(found[0].Wanted, want)) {
			t.Errorf("%q: %v, wanted %q", text, found, want)
		}
	}
}

func TestDocument(t *testing.T) {
	d, found := Read("f", "title = 'x'\nvalues = [1, 'a']\n[body]\nshape = 'disc'\nheight_mm = 5\n[[seed]]\nat_mm = [1, "+
		"2.5]\n[[seed]]\nok = true", sample())
	found = append(found, d.Complete()...)
	if len(found) > 0 {
		t.Fatal(found)
	}
	if d.Number("body.height_mm") != 5 || d.Whole("body.cells") != 3 || d.Number("body.cells") != 3 ||
		d.Count("seed") != 2 || !d.Flag("seed.2.ok") || d.Flag("seed.1.ok") ||
		d.Numbers("seed.1.at_mm")[1] != 2.5 || len(d.List("values")) != 2 || d.Text("title") != "x" || d.Has("body.plane") {
		t.Error("a value is not what was written")
	}
	e, found := d.With([]string{"seed.1.at_mm.2", "body.cells"}, []any{int64(7), int64(4)})
	if len(found) > 0 || e.Numbers("seed.1.at_mm")[1] != 7 || d.Numbers("seed.1.at_mm")[1] != 2.5 ||
		e.Whole("body.cells") != 4 || d.Whole("body.cells") != 3 {
		t.Errorf("exchanged values: %v, %v beside %v", found, e.Numbers("seed.1.at_mm"), d.Numbers("seed.1.at_mm"))
	}
	for path, value := range map[string]any{"body.cells": 1.5, "body.height_mm": 11.0, "seed.1.at_mm.3": 1.0,
		"no.such": 1.0, "title": 3.0} {
		if _, found := d.With([]string{path}, []any{value}); len(found) != 1 {
			t.Errorf("%s = %v: %v, wanted one problem", path, value, found)
		}
	}
	const want = "body.height_mm = 5\nbody.shape = \"disc\"\nseed x 2\nseed.1.at_mm = [1, 2.5]\nseed.2.ok = true"
	if got := d.Canonical("body", "seed"); got != want {
		t.Errorf("canonical text\n%s\nwanted\n%s", got, want)
	}
	if got := d.Without("body.height_mm").Canonical("body"); got != "body.shape = \"disc\"" {
		t.Errorf("without the height: %s", got)
	}
}

// TestProblemsInOrder: by line, then by key, whatever the order in which the maps gave them.
func TestProblemsInOrder(t *testing.T) {
	for range 20 {
		_, found := Read("f", "b = 1\na = 1\n[body]\nzz = 1\nyy = 1\nshape = 3", sample())
		text := found.Err().Error()
		if strings.Count(text, "\n") != 4 || strings.Index(text, "f:1: b") > strings.Index(text, "f:2: a") ||
			strings.Index(text, "f:4: body.zz") > strings.Index(text, "f:5: body.yy") {
			t.Fatal(text)
		}
	}
	if (Problems{}).Err() != nil {
		t.Error("no problem is no error")
	}
}

// A misspelt key in a lookup or in a condition is a fault of the program: it must not read as 0.
func TestUnknownKeysPanic(t *testing.T) {
	d, _ := Read("f", "[body]\nshape = 'disc'\nheight_mm = 5\n[[seed]]\nok = true", sample())
	for what, look := range map[string]func(){
		"number":    func() { d.Number("body.hieght_mm") },
		"whole":     func() { d.Whole("body.cell") },
		"text":      func() { d.Text("body.form") },
		"flag":      func() { d.Flag("seed.1.okay") },
		"numbers":   func() { d.Numbers("seed.1.at") },
		"list":      func() { d.List("value") },
		"has":       func() { d.Has("seed.ok") },
		"refused":   func() { d.Refused("body.planes") },
		"fill":      func() { d.Fill("body.hieght_mm", 1.0) },
		"count":     func() { d.Count("seeds") },
		"problem":   func() { d.Problem("body.hieght_mm", "", "") },
		"condition": func() { Read("f", "", append(sample(), Text("body.x", "").Beside(Without("hieght_mm")))) },
	} {
		if !panics(look) {
			t.Errorf("%s: a key that is not there is taken", what)
		}
	}
	for what, look := range map[string]func(){
		"absent":         func() { d.Number("body.cells") },
		"a third seed":   func() { d.Flag("seed.3.ok") },
		"a number":       func() { d.Has("seed.1.at_mm.2") },
		"a table":        func() { d.Problem("seed.2", "", "") },
		"tables":         func() { d.Refused("seed") },
		"the whole body": func() { d.Problem("body", "", "") },
	} {
		if panics(look) {
			t.Errorf("%s: panics", what)
		}
	}
}

func panics(f func()) (did bool) {
	defer func() { did = recover() != nil }()
	f()
	return false
}
