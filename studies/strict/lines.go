package strict

import (
	"strconv"
	"strings"
)

// lines finds the line of every key, table and array element of a text that the decoder has already accepted, so it
// only has to tell strings, comments and brackets apart. Elements of arrays count from 1.
func lines(text string) map[string]int {
	s := &scanner{text: text, line: 1, counts: map[string]int{}, found: map[string]int{}}
	s.all()
	return s.found
}

// all reads to the end and returns the table that was open there.
func (s *scanner) all() (table string) {
	for s.blank(); s.at < len(s.text); s.blank() {
		before := s.at
		if s.text[s.at] == '[' {
			table = s.header()
		} else {
			s.pair(table)
		}
		if s.at == before {
			s.step() // no valid text comes here
		}
	}
	return table
}

type scanner struct {
	text   string
	at     int
	line   int
	counts map[string]int // elements so far of an array of tables
	found  map[string]int
}

func join(path, part string) string {
	if path == "" {
		return part
	}
	return path + "." + part
}

func (s *scanner) note(path string) {
	if _, ok := s.found[path]; !ok {
		s.found[path] = s.line
	}
}

// step moves on by one byte and counts lines.
func (s *scanner) step() {
	if s.text[s.at] == '\n' {
		s.line++
	}
	s.at++
}

// blank skips white space, line ends and comments.
func (s *scanner) blank() {
	for s.at < len(s.text) {
		switch s.text[s.at] {
		case ' ', '\t', '\r', '\n':
			s.step()
		case '#':
			for s.at < len(s.text) && s.text[s.at] != '\n' {
				s.at++
			}
		default:
			return
		}
	}
}

// header reads [a.b] or [[a.b]] and returns the path of the table that it opens.
func (s *scanner) header() string {
	array := strings.HasPrefix(s.text[s.at:], "[[")
	for s.at < len(s.text) && s.text[s.at] == '[' {
		s.at++
	}
	parts := s.key()
	path := ""
	for i, part := range parts {
		path = join(path, part)
		last := i == len(parts)-1
		if last && array {
			s.counts[path]++
		}
		s.note(path)
		if n := s.counts[path]; n > 0 {
			path = join(path, strconv.Itoa(n))
			s.note(path)
		}
	}
	for s.at < len(s.text) && s.text[s.at] == ']' {
		s.at++
	}
	return path
}

// pair reads key = value in a table.
func (s *scanner) pair(table string) {
	path := table
	for _, part := range s.key() {
		path = join(path, part)
		s.note(path)
	}
	s.blank()
	if s.at < len(s.text) && s.text[s.at] == '=' {
		s.at++
	}
	s.blank()
	s.value(path)
}

// key reads a dotted key; parts in quotes keep them when they hold a dot.
func (s *scanner) key() []string {
	var parts []string
	for s.blank(); s.at < len(s.text); s.blank() {
		start := s.at
		if c := s.text[s.at]; c == '"' || c == '\'' {
			s.quoted(c)
			parts = append(parts, part(strings.Trim(s.text[start:s.at], string(c))))
		} else {
			for s.at < len(s.text) && !strings.ContainsRune(" \t.=]\n", rune(s.text[s.at])) {
				s.at++
			}
			parts = append(parts, s.text[start:s.at])
		}
		s.blank()
		if s.at >= len(s.text) || s.text[s.at] != '.' {
			break
		}
		s.at++
	}
	return parts
}

// part is a key as it stands in a path: in quotes unless it is a bare one.
func part(key string) string {
	for _, c := range key {
		if (c < 'a' || c > 'z') && (c < 'A' || c > 'Z') && (c < '0' || c > '9') && c != '_' && c != '-' {
			return strconv.Quote(key)
		}
	}
	if key == "" {
		return `""`
	}
	return key
}

// quoted skips a string of either kind, on one line or several.
func (s *scanner) quoted(c byte) {
	mark := string(c)
	if triple := strings.Repeat(mark, 3); strings.HasPrefix(s.text[s.at:], triple) {
		mark = triple
	}
	s.at += len(mark)
	for s.at < len(s.text) && !strings.HasPrefix(s.text[s.at:], mark) {
		if c == '"' && s.text[s.at] == '\\' && s.at+1 < len(s.text) {
			s.step()
		}
		s.step()
	}
	for i := 0; i < len(mark) && s.at < len(s.text); i++ {
		s.at++
	}
	for len(mark) == 3 && s.at < len(s.text) && s.text[s.at] == c { // a quote just before the closing three
		s.at++
	}
}

// value skips a value and notes what is inside it.
func (s *scanner) value(path string) {
	if s.at >= len(s.text) {
		return
	}
	switch c := s.text[s.at]; c {
	case '"', '\'':
		s.quoted(c)
	case '[':
		n := 0
		s.inside(']', func() {
			n++
			element := join(path, strconv.Itoa(n))
			s.note(element)
			s.value(element)
		})
	case '{':
		s.inside('}', func() { s.pair(path) })
	default:
		for s.at < len(s.text) && !strings.ContainsRune(",]}#\n", rune(s.text[s.at])) {
			s.at++
		}
	}
}

// inside walks the items of a bracket up to its end.
func (s *scanner) inside(end byte, item func()) {
	s.at++
	for s.blank(); s.at < len(s.text) && s.text[s.at] != end; s.blank() {
		if s.text[s.at] == ',' {
			s.at++
			continue
		}
		before := s.at
		item()
		if s.at == before {
			s.step()
		}
	}
	if s.at < len(s.text) {
		s.at++
	}
}
