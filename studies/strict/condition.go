package strict

import "strings"

// applies tells whether the condition of a field holds at a path.
func (d *Document) applies(f *Field, path string) bool {
	if f.When == "" {
		return true
	}
	table, _ := split(path)
	for _, alternative := range strings.Split(f.When, "||") {
		all := true
		for _, term := range strings.Split(alternative, "&") {
			all = all && d.holds(table, strings.TrimSpace(term))
		}
		if all {
			return true
		}
	}
	return false
}

// holds decides one term, as "shape=disc,ring" or "plane!=ab"; nothing to the right means "absent". A key stands in the
// same table unless it has a dot.
func (d *Document) holds(table, term string) bool {
	key, values, _ := strings.Cut(term, "=")
	key, not := strings.CutSuffix(key, "!")
	path := key
	if !strings.Contains(key, ".") {
		path = join(table, key)
	}
	have := ""
	if v, ok := d.values[path]; ok {
		have = strings.Trim(show(v), `"`)
	}
	for _, v := range strings.Split(values, ",") {
		if v == have {
			return !not
		}
	}
	return not
}

// condition says a When in words, with what stands in the file.
func (d *Document) condition(f *Field, path string) string {
	table, _ := split(path)
	var seen []string
	for _, term := range strings.FieldsFunc(f.When, func(r rune) bool { return r == '&' || r == '|' }) {
		key, _, _ := strings.Cut(strings.TrimSpace(term), "=")
		key = strings.TrimSuffix(key, "!")
		at := key
		if !strings.Contains(key, ".") {
			at = join(table, key)
		}
		value := show(d.values[at])
		if value == "" {
			value = "absent"
		}
		if note := key + " is " + value; !strings.Contains(strings.Join(seen, ", "), note) {
			seen = append(seen, note)
		}
	}
	return inWords(f.When) + " (" + strings.Join(seen, ", ") + ")"
}

// Condition says the When of a field in words.
func (f *Field) Condition() string { return inWords(f.When) }

func inWords(when string) string {
	var out []string
	for _, alternative := range strings.Split(when, "||") {
		var terms []string
		for _, term := range strings.Split(alternative, "&") {
			key, values, _ := strings.Cut(strings.TrimSpace(term), "=")
			key, not := strings.CutSuffix(key, "!")
			verb := map[bool]string{true: " other than ", false: " = "}[not]
			if values == "" {
				terms = append(terms, map[bool]string{true: "a given ", false: "no "}[not]+key)
				continue
			}
			terms = append(terms, key+verb+`"`+strings.ReplaceAll(values, ",", `" or "`)+`"`)
		}
		out = append(out, strings.Join(terms, " and "))
	}
	return strings.Join(out, ", or ")
}

// undecided tells whether a key that the condition of a field hangs on was refused or is missing: that was reported, and
// nothing can be said of the field.
func (d *Document) undecided(f *Field, path string) bool {
	table, _ := split(path)
	for _, term := range strings.FieldsFunc(f.When, func(r rune) bool { return r == '&' || r == '|' }) {
		key, _, _ := strings.Cut(strings.TrimSpace(term), "=")
		at := strings.TrimSuffix(key, "!")
		if !strings.Contains(at, ".") {
			at = join(table, at)
		}
		if g, _ := d.schema.Field(at); d.Refused(at) || g != nil && g.Needed && !d.Has(at) {
			return true
		}
	}
	return false
}
