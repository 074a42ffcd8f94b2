package strict

import (
	_ "embed" // the slips
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/BurntSushi/toml"
)

//go:embed slips.txt
var slipTexts string

// slip is an everyday mistake that the decoder can only call a wrong character.
type slip struct {
	line string // a regular expression with the groups key and value, as far as there are such
	hint string // the next move; ${key}, ${a} … stand for what was found
}

// Two hints that may be about the line above.
const (
	missingEnd = "a comma or the closing ] is missing"
	badHeader  = "a table is opened as [body], one of several as [[seed]]"
)

// slips are those of slips.txt.
func slips() (all []slip) {
	parts := strings.NewReplacer("{key = }", `^\s*(?P<key>[\w.-]+)\s*=\s*(?P<value>`, "{end}", `)\s*(?:#.*)?$`,
		"{number}", `[-+]?\d[\d_]*(?:\.\d+)?(?:[eE][-+]?\d+)?`, "{mark}", "[“”„‟«»‘’‚‛´`]")
	_, table, _ := strings.Cut(slipTexts, "\n\n")
	for two := range slices.Chunk(strings.Split(strings.TrimSpace(table), "\n"), 2) {
		all = append(all, slip{parts.Replace(two[0]), strings.TrimSpace(two[1])})
	}
	return all
}

// mostSlips is how many lines are explained at once.
const mostSlips = 50

// syntax explains why a text is no TOML. A line whose slip is known is set aside, and the rest is
// tried again.
func (s Schema) syntax(text string, err error) Problems {
	found, rows := s.singles(text), strings.Split(text, "\n")
	if len(found) > 0 {
		return found
	}
	for err != nil && len(found) < mostSlips {
		p := s.explain(rows, err)
		if p == nil {
			break
		}
		found = append(found, *p)
		rows[p.Line-1] = ""
		err = Decode(strings.Join(rows, "\n"), &map[string]any{})
	}
	if len(found) > 0 {
		return found
	}
	p := Problem{Wanted: "not TOML: " + err.Error()}
	if pe := (toml.ParseError{}); errors.As(err, &pe) {
		p.Line, p.Wanted = pe.Position.Line, "not TOML: "+pe.Message
		p.Hint = "write strings in quotes, numbers without units, and one key = value on each line"
	}
	return Problems{p}
}

// singles are the tables of one that should be one of several: the decoder blames the second of
// them, or says nothing.
func (s Schema) singles(text string) (found Problems) {
	header := regexp.MustCompile(`^\s*\[\s*([\w.]+)\s*\]\s*(?:#.*)?\r?$`)
	for i, row := range strings.Split(text, "\n") {
		if m := header.FindStringSubmatch(row); m != nil {
			if _, array := s.table(m[1]); array {
				found = append(found, Problem{"", i + 1, m[1], "a table", severalWanted, several(m[1]), nil})
			}
		}
	}
	return found
}

const severalWanted = "wanted an array of tables"

func several(path string) (hint string) { return "write [[" + path + "]]" }

// explain finds what is wrong with the line that the decoder blames or the one before, whose end it
// may have missed.
func (s Schema) explain(rows []string, err error) *Problem {
	var pe toml.ParseError
	if !errors.As(err, &pe) || pe.Position.Line < 1 || pe.Position.Line > len(rows) {
		return nil
	}
	at := pe.Position.Line
	if strings.Contains(pe.Message, "has already been defined") {
		return twice(rows, at)
	}
	p := s.match(rows, at)
	if p == nil && at > 1 {
		if p = s.match(rows, at-1); p != nil && p.Hint != missingEnd && p.Hint != badHeader {
			return nil
		}
	}
	return p
}

// match explains line n by the first slip that fits it; nil where none does.
func (s Schema) match(rows []string, n int) *Problem {
	row := strings.TrimSuffix(rows[n-1], "\r")
	for _, known := range slips() {
		form := regexp.MustCompile(known.line)
		m := form.FindStringSubmatchIndex(row)
		if m == nil {
			continue
		}
		fill := func(text string) string { return string(form.ExpandString(nil, text, row, m)) }
		p := &Problem{Line: n, Value: strings.TrimSpace(fill("${value}")), Wanted: "not TOML", Hint: fill(known.hint)}
		if key := strings.TrimSpace(fill("${key}")); key != "" {
			_, table := scan(strings.Join(rows[:n-1], "\n"))
			s.blame(p, join(table, key))
		}
		if p.Key == "" {
			p.Key, p.Value = p.Value, ""
		}
		p.Key, p.Value, p.Hint = plain(p.Key), plain(p.Value), plain(p.Hint)
		return p
	}
	return nil
}

// plain is a part of a line as it may be shown on any terminal.
func plain(text string) string {
	const most = 120
	runes := []rune(text)
	if len(runes) > most {
		runes = append(runes[:most], '…')
	}
	for i, r := range runes {
		if unicode.IsSpace(r) {
			runes[i] = ' '
		} else if !unicode.IsPrint(r) {
			runes[i] = utf8.RuneError
		}
	}
	return string(runes)
}

// blame names the key, and what it takes where it is known.
func (s Schema) blame(p *Problem, path string) {
	p.Key = path
	if f, _ := s.Field(path); f != nil {
		p.Wanted = f.Wanted()
	} else if near := s.Nearest(path); near != "" {
		p.Wanted = "unknown key"
		p.Hint += "; did you mean " + near + "?"
	}
}

// twice says of the key or table in line n where it stood before.
func twice(rows []string, n int) *Problem {
	row := strings.TrimSpace(rows[n-1])
	_, path := scan(strings.Join(rows[:n], "\n"))
	if key, _, is := strings.Cut(row, "="); is && !strings.HasPrefix(row, "[") {
		path = join(path, strings.TrimSpace(key))
	}
	before, _ := scan(strings.Join(rows[:n-1], "\n"))
	return &Problem{Line: n, Key: path, Wanted: "given twice, first in line " + strconv.Itoa(before[path]),
		Hint: "keep one of them"}
}

// strange finds what keeps a text from being read at all: another encoding, or line ends of CR
// alone. The decoder takes some such texts for empty ones.
func strange(text string) Problems {
	p := Problem{Line: 1, Wanted: "not text in UTF-8", Hint: "save the file as plain text in UTF-8"}
	begins := func(with string) bool { return strings.HasPrefix(text, with) }
	switch {
	case slices.ContainsFunc([]string{"\xff\xfe", "\xfe\xff", "[\x00"}, begins):
		p.Wanted = "text in UTF-16, wanted UTF-8"
		return Problems{p}
	case strings.Contains(text, "\r") && !strings.Contains(text, "\n"):
		p.Wanted, p.Hint = "the whole file is one line that ends in CR", "save the file with the line ends LF or CR LF"
		return Problems{p}
	}
	for at, r := range text {
		if r != utf8.RuneError || strings.HasPrefix(text[at:], string(r)) {
			continue
		}
		p.Line += strings.Count(text[:at], "\n")
		if b := text[at]; b >= 0xa0 { // which Latin 1 and Windows-1252 read alike
			p.Wanted = fmt.Sprintf("%q is written as in Windows-1252, wanted UTF-8", string(rune(b)))
			p.Hint += ", or leave that sign out"
		}
		return Problems{p}
	}
	if p.Line = tooDeep(text); p.Line > 0 {
		p.Wanted, p.Hint = nested(), "a study has a few: see `onegrain help study`"
		return Problems{p}
	}
	return nil
}
