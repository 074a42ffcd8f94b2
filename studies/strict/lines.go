package strict

import (
	"strconv"
	"strings"
)

// lines finds the line of every key, table and array element of a text that the decoder has already
// accepted, so it only has to tell strings, comments and brackets apart. Elements of arrays count
// from 1.
func lines(text string) map[string]int {
	s := newScanner(text)
	s.all()
	return s.found
}

// scanner goes along the tokens of a text: a sign that has a meaning, a string, a word, or the end
// of a line.
type scanner struct {
	tokens []string
	starts []int // line of each
	at     int
	counts map[string]int // elements so far of an array of tables
	found  map[string]int
}

// newScanner cuts a text into tokens; blanks and comments are none.
func newScanner(text string) *scanner {
	s := &scanner{counts: map[string]int{}, found: map[string]int{}}
	for line := 1; text != ""; {
		n := 1
		switch c := text[0]; {
		case c == '"' || c == '\'':
			n = quoted(text)
		case c == '#':
			n = until(text, "\n")
		case !strings.ContainsRune(" \t\r\n[]{}=,.", rune(c)):
			n = until(text, " \t\r\n[]{}=,.#\"'")
		}
		token := text[:n]
		if !strings.ContainsRune(" \t\r#", rune(token[0])) {
			s.tokens, s.starts = append(s.tokens, token), append(s.starts, line)
		}
		line += strings.Count(token, "\n")
		text = text[n:]
	}
	return s
}

// until is how far the first of some signs is away, or the end.
func until(text, signs string) int {
	if n := strings.IndexAny(text, signs); n >= 0 {
		return n
	}
	return len(text)
}

// quoted is the length of a string of either kind, on one line or several.
func quoted(text string) int {
	mark := text[:1]
	if triple := strings.Repeat(mark, 3); strings.HasPrefix(text, triple) {
		mark = triple
	}
	n := len(mark)
	for n < len(text) && !strings.HasPrefix(text[n:], mark) {
		if mark[0] == '"' && text[n] == '\\' {
			n++
		}
		n++
	}
	n += len(mark)
	for len(mark) == 3 && n < len(text) && text[n] == mark[0] { // a quote just before the closing three
		n++
	}
	return min(n, len(text))
}

// peek is the next token, empty at the end.
func (s *scanner) peek() string {
	if s.at < len(s.tokens) {
		return s.tokens[s.at]
	}
	return ""
}

// takes goes on if the next token is that one.
func (s *scanner) takes(token string) bool {
	is := s.peek() == token
	if is {
		s.at++
	}
	return is
}

// skipLines goes on to the next token that ends no line.
func (s *scanner) skipLines() string {
	for s.takes("\n") {
	}
	return s.peek()
}

// all reads to the end and returns the table that was open there.
func (s *scanner) all() (table string) {
	for s.skipLines() != "" {
		before := s.at
		if s.peek() == "[" {
			table = s.header()
		} else {
			s.pair(table)
		}
		if s.at == before {
			s.at++ // no valid text comes here
		}
	}
	return table
}

// note takes down that a path is in the line of the next token, or of the last one.
func (s *scanner) note(path string) {
	if _, ok := s.found[path]; !ok {
		s.found[path] = s.starts[min(s.at, len(s.starts)-1)]
	}
}

// header reads [a.b] or [[a.b]] and returns the path of the table that it opens.
func (s *scanner) header() string {
	opening := 0
	for s.takes("[") {
		opening++
	}
	parts, path := s.key(), ""
	for i, part := range parts {
		path = join(path, part)
		if i == len(parts)-1 && opening > 1 {
			s.counts[path]++
		}
		s.note(path)
		if n := s.counts[path]; n > 0 {
			path = join(path, strconv.Itoa(n))
			s.note(path)
		}
	}
	for s.takes("]") {
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
	s.takes("=")
	s.value(path)
}

// key reads a dotted key; parts in quotes keep them when they hold a dot.
func (s *scanner) key() []string {
	var parts []string
	for {
		switch token := s.peek(); {
		case token == "" || strings.ContainsRune("[]{}=,.\n", rune(token[0])):
			return parts
		case token[0] == '"' || token[0] == '\'':
			parts = append(parts, part(strings.Trim(token, token[:1])))
		default:
			parts = append(parts, token)
		}
		s.at++
		if !s.takes(".") {
			return parts
		}
	}
}

// part is a key as it stands in a path: in quotes unless it is a bare one.
func part(key string) string {
	bare := func(c rune) bool {
		return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '_' || c == '-'
	}
	if key == "" || strings.TrimFunc(key, bare) != "" {
		return strconv.Quote(key)
	}
	return key
}

// value skips a value and notes what is inside it.
func (s *scanner) value(path string) {
	switch token := s.peek(); token {
	case "[":
		n := 0
		s.inside("]", func() {
			n++
			element := join(path, strconv.Itoa(n))
			s.note(element)
			s.value(element)
		})
	case "{":
		s.inside("}", func() { s.pair(path) })
	default:
		for token != "" && !strings.ContainsRune(",]}\n", rune(token[0])) {
			s.at++
			token = s.peek()
		}
	}
}

// inside walks the items of a bracket up to its end.
func (s *scanner) inside(end string, item func()) {
	s.at++
	for s.skipLines() != end && s.peek() != "" {
		if s.takes(",") {
			continue
		}
		before := s.at
		item()
		if s.at == before {
			s.at++
		}
	}
	s.takes(end)
}
