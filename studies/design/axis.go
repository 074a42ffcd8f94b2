package design

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"onegrain/sim/number"
	"onegrain/studies/column"
	"onegrain/studies/strict"
	"onegrain/studies/unit"
)

// axis is one [[vary]]: a key, the column it makes, and the values it takes (none in a table
// design, where a file has them, and none where a sampled design takes them from a range).
type axis struct {
	at       string // its table in the study, "vary.1"
	key      string
	name     string
	field    *strict.Field
	values   []any   // float64, int64, string or bool
	from, to float64 // of a range
	log      bool    // equal ratios count as equal steps
	unknown  bool    // merely not known: averaged over, never chosen
}

// reader reads axes of one document.
type reader struct {
	*strict.Document
	keys     strict.Schema
	sections []string // whose keys may be varied
	kind     string   // of the design
}

// axes reads and checks all [[vary]].
func (r reader) axes() (all []axis, found strict.Problems) {
	add := func(p strict.Problems) { found = append(found, p...) }
	keys, names := map[string]string{}, map[string]string{}
	for i := 1; i <= r.Count("vary"); i++ {
		a, p := r.axis(fmt.Sprintf("vary.%d", i))
		add(p)
		if a.field == nil {
			continue
		}
		if other, ok := keys[a.key]; ok {
			add(r.Problem(a.at+".key", "varied already by "+other, "one [[vary]] for each key"))
		}
		low := strings.ToLower(a.name) // as in taken
		if other, ok := names[low]; ok {
			add(r.Problem(r.nameKey(a), fmt.Sprintf("the column %q is made already by %s", a.name, other),
				"give one of them another name"))
		}
		keys[a.key], names[low] = a.at, a.at
		all = append(all, a)
	}
	return all, found
}

// nameKey is the key that names the column of an axis.
func (r reader) nameKey(a axis) string {
	if r.Has(a.at + ".name") {
		return a.at + ".name"
	}
	return a.at + ".key"
}

// axis reads one [[vary]]; it has no field where its key is missing or wrong.
func (r reader) axis(at string) (axis, strict.Problems) {
	a := axis{at: at, key: r.Text(at + ".key"), name: r.Text(at + ".name"), unknown: r.Text(at+".role") == "unknown"}
	if a.key == "" {
		return a, nil // reported as missing
	}
	field, found := r.variable(a)
	if a.field = field; field == nil {
		return a, found
	}
	if a.name == "" {
		a.name = column.ColumnOf(a.key)
	}
	found = r.checkName(a)
	return a, append(found, r.values(&a)...)
}

// variable finds the field of a key that may be varied; nil where it is wrong.
func (r reader) variable(a axis) (*strict.Field, strict.Problems) {
	bad := func(wanted, hint string) (*strict.Field, strict.Problems) {
		return nil, r.Problem(a.at+".key", wanted, hint)
	}
	field, element := r.keys.Field(a.key)
	if field == nil {
		return bad("unknown key", r.keys.Unknown(a.key))
	}
	parts := strings.Split(a.key, ".")
	if !slices.Contains(r.sections, parts[0]) ||
		slices.Contains([]string{"material.base", "material.laws", "body.file", "schedule.file"}, a.key) {
		return bad("this key cannot be varied", "vary what happens in the furnace: "+strings.Join(r.sections, ", "))
	}
	for i, part := range parts[:len(parts)-1] {
		k, err := strconv.Atoi(part)
		if err != nil {
			continue
		}
		switch array := strings.Join(parts[:i], "."); {
		case k <= r.Count(array):
		case r.Refused(array):
			return nil, nil // reported
		default:
			return bad(fmt.Sprintf("there are %d [[%s]]", r.Count(array), array), "they count from 1")
		}
	}
	if _, list := field.Like.([]float64); !list {
		return field, nil
	}
	if element == 0 {
		return bad("a list cannot be varied as a whole", "vary one number of it, as "+a.key+".1")
	}
	if element > max(field.Most, len(r.Numbers(strings.Join(parts[:len(parts)-1], ".")))) {
		return bad("the list has no such number", "they count from 1")
	}
	return field, nil
}

// checkName refuses columns that readers of the tables could not tell apart or use.
func (r reader) checkName(a axis) strict.Problems {
	at, ending := r.nameKey(a), unit.Of(a.field.Key).Ending
	switch {
	case !isColumn(a.name):
		return r.Problem(at, fmt.Sprintf("the column name %q: wanted letters, digits and _, a letter first, at most 64",
			a.name), "")
	case taken(a.name):
		return r.Problem(at, fmt.Sprintf("%q is a column of the results", a.name), "give another name = …")
	case !strings.HasSuffix(a.name, ending) && !strings.Contains(column.ColumnOf(a.key), ending+"_"):
		return r.Problem(at, fmt.Sprintf("the column name %q: wanted a name that ends in its unit, as …%s", a.name, ending),
			"")
	}
	return nil
}

func isColumn(name string) bool {
	return regexp.MustCompile(`^[A-Za-z][A-Za-z0-9_]{0,63}$`).MatchString(name)
}

// taken tells whether a name is a fixed column of a table that also has the varied ones; readers of
// tables take letters of either case for the same.
func taken(name string) bool {
	for _, of := range []string{"runs", "cases"} {
		fixed, _ := column.Of(of, nil) // both are there, the only error there is
		if slices.ContainsFunc(fixed.Columns, func(c column.Column) bool { return strings.EqualFold(c.Name, name) }) {
			return true
		}
	}
	return false
}

// values reads the values of an axis, or the range that they are taken from.
func (r reader) values(a *axis) (found strict.Problems) {
	has := func(key string) bool { return r.Has(a.at + key) }
	refused := func(key string) bool { return !has(key) && r.Refused(a.at+key) } // which was reported
	bad := func(key, wanted, hint string) strict.Problems { return r.Problem(a.at+key, wanted, hint) }
	needed, form := []string{".from", ".to", ".count"}, "wanted values = […], or from, to and count"
	switch sample := sampled(r.kind); {
	case r.kind == "table":
		if has(".values") || has(".from") {
			return bad("", `with design.kind = "table" the values are in the file`, "leave out values, from, to and count")
		}
		return nil
	case has(".values"):
		return r.listed(a)
	case refused(".values"):
		return nil
	case sample && has(".count"):
		return bad(".count", fmt.Sprintf("has no meaning with design.kind = %q", r.kind),
			"design.points says how many cases there are")
	case sample:
		needed, form = needed[:2], fmt.Sprintf("with design.kind = %q wanted from and to, or values = […]", r.kind)
	}
	for _, key := range needed {
		if refused(key) {
			return nil
		}
		if !has(key) {
			return bad("", form, strings.TrimPrefix(key, ".")+" is missing")
		}
	}
	a.from, a.to, a.log = r.Number(a.at+".from"), r.Number(a.at+".to"), r.Text(a.at+".spacing") == "log"
	_, text := a.field.Like.(string)
	_, flag := a.field.Like.(bool)
	switch {
	case text || flag:
		return bad(".from", "the key "+a.key+" takes no number", "write values = […]")
	case a.from == a.to:
		return bad(".to", "from and to are equal", "write values = […] for a single one")
	case a.log && (a.from <= 0 || a.to <= 0):
		return bad(".spacing", "log spacing wants from and to above 0", `take "linear"`)
	case len(needed) == 3:
		return r.spaced(a)
	}
	for i, x := range []float64{a.from, a.to} { // which the key has to take
		if _, wanted, hint := a.take(x); wanted != "" {
			found = append(found, bad(needed[i], wanted, hint)...)
		}
	}
	return found
}

// listed takes values = […].
func (r reader) listed(a *axis) (found strict.Problems) {
	at := a.at + ".values"
	seen := map[string]bool{}
	for i, v := range r.List(at) {
		typed, wanted, hint := a.field.Take(a.key, v)
		shown := fmt.Sprint(typed)
		switch {
		case wanted != "":
			found = append(found, r.Problem(at, fmt.Sprintf("value %d: %s", i+1, wanted), hint)...)
		case seen[shown]:
			found = append(found, r.Problem(at, fmt.Sprintf("value %d: %v is there twice", i+1, v),
				"for more runs of the same case raise random.replicates")...)
		default:
			a.values = append(a.values, typed)
		}
		seen[shown] = true
	}
	return found
}

// spaced makes count values from … to, in equal steps or equal ratios.
func (r reader) spaced(a *axis) strict.Problems {
	values := make([]any, int(r.Number(a.at+".count")))
	for i := range values {
		x := unit.Decimal(a.between(a.from, a.to, float64(i)/float64(len(values)-1)))
		v, wanted, hint := a.take(x)
		if wanted != "" {
			return r.Problem(a.at+".from", fmt.Sprintf("value %d is %g: %s", i+1, x, wanted), hint)
		}
		values[i] = v
	}
	a.values = values
	return nil
}

// between is a part of the way between two ends.
func (a *axis) between(from, to, part float64) float64 {
	if a.log {
		return from * number.Pow(to/from, part)
	}
	return from + float64((to-from)*part)
}

// whole tells whether the values of the axis are whole numbers.
func (a *axis) whole() bool {
	_, is := a.field.Like.(int64)
	return is
}

// take checks a number for the key of the axis.
func (a *axis) take(x float64) (typed any, wanted, hint string) {
	if a.whole() && x == math.Floor(x) {
		return a.field.Take(a.key, int64(x))
	}
	return a.field.Take(a.key, x)
}
