package studies

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"onegrain/sim/number"
	"onegrain/studies/border"
	"onegrain/studies/column"
	"onegrain/studies/strict"
	"onegrain/studies/unit"
)

// axis is one [[vary]]: a key, the column it makes, and the values it takes (none in a table design, where a file has them, and
// none where a sampled design takes them from a range).
type axis struct {
	at       string // its table in the study, "vary.1"
	key      string
	name     string
	field    *strict.Field
	values   []any   // float64, int64, string or bool
	from, to float64 // of a sampled design
	log      bool    // equal ratios count as equal steps
	unknown  bool    // merely not known: averaged over, never chosen
}

// axes reads and checks all [[vary]].
func axes(d *strict.Document, s strict.Schema) ([]axis, strict.Problems) {
	var all []axis
	var found strict.Problems
	keys, names := map[string]string{}, map[string]string{}
	for i := 1; i <= d.Count("vary"); i++ {
		a, p := readAxis(d, s, fmt.Sprintf("vary.%d", i))
		found = append(found, p...)
		if a.field == nil {
			continue
		}
		if other, ok := keys[a.key]; ok {
			found = append(found, d.Problem(a.at+".key", "varied already by "+other, "one [[vary]] for each key"))
		}
		low := strings.ToLower(a.name) // as in taken
		if other, ok := names[low]; ok {
			found = append(found, d.Problem(nameKey(d, a.at), fmt.Sprintf("the column %q is made already by %s", a.name, other), "give one of them another name"))
		}
		keys[a.key], names[low] = a.at, a.at
		all = append(all, a)
	}
	return all, found
}

func nameKey(d *strict.Document, at string) string {
	if d.Has(at + ".name") {
		return at + ".name"
	}
	return at + ".key"
}

func readAxis(d *strict.Document, s strict.Schema, at string) (axis, strict.Problems) {
	a := axis{at: at, key: d.Text(at + ".key"), name: d.Text(at + ".name"), unknown: d.Text(at+".role") == "unknown"}
	if a.key == "" {
		return a, nil // reported as missing
	}
	field, p := variable(d, s, a)
	if p != nil {
		return a, strict.Problems{*p}
	}
	if field == nil {
		return a, nil
	}
	if a.name == "" {
		a.name = column.ColumnOf(a.key)
	}
	var found strict.Problems
	if p := checkName(d, a, field); p != nil {
		found = append(found, *p)
	}
	a.field = field
	var more strict.Problems
	if kind := d.Text("design.kind"); sampled(kind) {
		more = ranged(d, &a)
	} else if kind != "table" {
		a.values, more = graded(d, a)
	} else if d.Has(at+".values") || d.Has(at+".from") {
		more = strict.Problems{d.Problem(at, `with design.kind = "table" the values stand in the file`, "leave out values, from, to and count")}
	}
	return a, append(found, more...)
}

// means is the line on the column that an axis makes.
func (a axis) means() string {
	if a.unknown {
		return "not known, averaged over: " + a.key
	}
	return "varied: " + a.key
}

// variable finds the field of a key that may be varied.
func variable(d *strict.Document, s strict.Schema, a axis) (*strict.Field, *strict.Problem) {
	bad := func(wanted, hint string) (*strict.Field, *strict.Problem) {
		p := d.Problem(a.at+".key", wanted, hint)
		return nil, &p
	}
	field, element := s.Field(a.key)
	if field == nil {
		hint := "see `onegrain help study` for the keys there are"
		if near := s.Nearest(a.key); near != "" {
			hint = "did you mean " + near + "?"
		}
		return bad("unknown key", hint)
	}
	top, _, _ := strings.Cut(a.key, ".")
	if !inSections(top) || a.key == "material.base" || a.key == "body.file" {
		return bad("this key cannot be varied", "vary what happens in the furnace: "+strings.Join(border.Sections(), ", "))
	}
	if array, n, ok := beyond(d, a.key); ok && d.Refused(array) {
		return nil, nil // reported
	} else if ok {
		return bad(fmt.Sprintf("there are %d [[%s]]", n, array), "they count from 1")
	}
	if holds[[]float64](field) && element == 0 {
		return bad("a list cannot be varied as a whole", "vary one number of it, as "+a.key+".1")
	}
	if holds[[]float64](field) && element > max(field.Most, len(d.Numbers(strings.TrimSuffix(a.key, fmt.Sprintf(".%d", element))))) {
		return bad("the list has no such number", "they count from 1")
	}
	return field, nil
}

func inSections(top string) bool {
	for _, s := range border.Sections() {
		if s == top {
			return true
		}
	}
	return false
}

// beyond tells whether a key names an array element that is not there.
func beyond(d *strict.Document, key string) (array string, n int, yes bool) {
	parts := strings.Split(key, ".")
	for i, p := range parts {
		var k int
		if _, err := fmt.Sscanf(p, "%d", &k); err != nil || i == len(parts)-1 {
			continue
		}
		array = strings.Join(parts[:i], ".")
		if n = d.Count(array); k > n {
			return array, n, true
		}
	}
	return "", 0, false
}

// checkName refuses columns that readers of the tables could not tell apart or use.
func checkName(d *strict.Document, a axis, f *strict.Field) *strict.Problem {
	var p strict.Problem
	switch unit := unit.Of(f.Key).Ending; {
	case !isColumn(a.name):
		p = d.Problem(nameKey(d, a.at), fmt.Sprintf("the column name %q: wanted letters, digits and _, a letter first, at most 64", a.name), "")
	case taken(a.name):
		p = d.Problem(nameKey(d, a.at), fmt.Sprintf("%q is a column of the results", a.name), "give another name = …")
	case !strings.HasSuffix(a.name, unit) && !strings.Contains(column.ColumnOf(a.key), unit+"_"):
		p = d.Problem(nameKey(d, a.at), fmt.Sprintf("the column name %q: wanted a name that ends in its unit, as …%s", a.name, unit), "")
	default:
		return nil
	}
	return &p
}

func isColumn(name string) bool {
	for i, c := range name {
		letter := c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z'
		if !letter && (i == 0 || c != '_' && (c < '0' || c > '9')) {
			return false
		}
	}
	return name != "" && len(name) <= 64
}

// holds tells whether values of a field have a type.
func holds[T any](f *strict.Field) bool {
	_, is := f.Like.(T)
	return is
}

// graded lists the values of an axis.
func graded(d *strict.Document, a axis) ([]any, strict.Problems) {
	if d.Has(a.at + ".values") {
		return listed(d, a)
	}
	if d.Line(a.at+".values") != d.Line(a.at) {
		return nil, nil // values are there and were refused
	}
	var found strict.Problems
	for _, key := range []string{".from", ".to", ".count"} {
		if !d.Has(a.at+key) && d.Line(a.at+key) == d.Line(a.at) {
			p := d.Problem(a.at, "wanted values = […], or from, to and count", strings.TrimPrefix(key, ".")+" is missing")
			return nil, append(found, p)
		}
		if !d.Has(a.at + key) {
			return nil, nil // there and refused
		}
	}
	return spaced(d, a)
}

// listed takes values = […].
func listed(d *strict.Document, a axis) ([]any, strict.Problems) {
	var found strict.Problems
	seen := map[string]bool{}
	var out []any
	for i, v := range d.List(a.at + ".values") {
		typed, wanted, hint := a.field.Take(a.key, v)
		shown := fmt.Sprint(typed)
		switch {
		case wanted != "":
			found = append(found, d.Problem(a.at+".values", fmt.Sprintf("value %d: %s", i+1, wanted), hint))
		case seen[shown]:
			found = append(found, d.Problem(a.at+".values", fmt.Sprintf("value %d: %v stands there twice", i+1, v), "the same case need not be run twice; raise random.replicates"))
		default:
			out = append(out, typed)
		}
		seen[shown] = true
	}
	return out, found
}

// spaced makes count values from … to, in equal steps or equal ratios.
func spaced(d *strict.Document, a axis) ([]any, strict.Problems) {
	a.from, a.to, a.log = d.Number(a.at+".from"), d.Number(a.at+".to"), d.Text(a.at+".spacing") == "log"
	if found := badRange(d, &a); found != nil {
		return nil, found
	}
	n := int(d.Number(a.at + ".count"))
	out := make([]any, n)
	for i := range out {
		f := float64(i) / float64(n-1)
		x := a.from + float64((a.to-a.from)*f)
		if a.log {
			x = a.from * number.Pow(a.to/a.from, f)
		}
		v, wanted, hint := a.field.Take(a.key, whole(a.field, decimal(x)))
		if wanted != "" {
			return nil, strict.Problems{d.Problem(a.at+".from", fmt.Sprintf("value %d is %g: %s", i+1, decimal(x), wanted), hint)}
		}
		out[i] = v
	}
	return out, nil
}

// badRange refuses from, to and spacing that make no range.
func badRange(d *strict.Document, a *axis) strict.Problems {
	bad := func(key, wanted, hint string) strict.Problems {
		return strict.Problems{d.Problem(a.at+key, wanted, hint)}
	}
	switch {
	case holds[string](a.field) || holds[bool](a.field):
		return bad(".from", "the key "+a.key+" takes no number", "write values = […]")
	case a.from == a.to:
		return bad(".to", "from and to are equal", "write values = […] for a single one")
	case a.log && (a.from <= 0 || a.to <= 0):
		return bad(".spacing", "log spacing wants from and to above 0", `take "linear"`)
	}
	return nil
}

// decimal rounds to 12 digits, so that 0.1 + 2·0.1 reads 0.3 in tables and counts as the same case.
func decimal(x float64) float64 {
	y, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 12, 64), 64)
	return y
}

// whole turns a whole number into the type that Whole keys take.
func whole(f *strict.Field, x float64) any {
	if holds[int64](f) && x == math.Floor(x) {
		return int64(x)
	}
	return x
}

// taken tells whether a name is a fixed column of a table that also has the varied ones; readers of tables take letters of
// either case for the same.
func taken(name string) bool {
	for _, of := range []string{"runs", "cases"} {
		fixed, _ := column.Of(of, nil) // both are there, the only error there is
		for _, c := range fixed.Columns {
			if strings.EqualFold(c.Name, name) {
				return true
			}
		}
	}
	return false
}
