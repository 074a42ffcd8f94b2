package strict

import (
	"iter"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// token is a string of either kind, on one line or several, with an end or without one; a comment;
// a sign that has a meaning or the end of a line; or a word. Blanks are none.
var token = regexp.MustCompile(`(?s)"""(?:\\?.)*?(?:"{3,}|\z)|'''.*?(?:'{3,}|\z)|"(?:\\?.)*?(?:"|\z)|'.*?(?:'|\z)` +
	`|#[^\n]*|[][{}=,.\n]|[^] \t\r\n[{}=,.#"']+`)

// piece is a token and the line that it begins in.
type piece struct {
	text string
	line int
}

// tokens are those of a text, one after the other, comments left out.
func tokens(text string) iter.Seq[piece] {
	return func(yield func(piece) bool) {
		line := 1
		for at := token.FindStringIndex(text); at != nil; at = token.FindStringIndex(text) {
			t := text[at[0]:at[1]]
			if t[0] != '#' && !yield(piece{t, line}) {
				return
			}
			line += strings.Count(t, "\n")
			text = text[at[1]:]
		}
	}
}

// scanner goes along the tokens of a text without its comments.
type scanner struct {
	tokens []piece
	at     int
	counts map[string]int // elements so far of an array of tables
	found  map[string]int
}

// scan finds the line of every key, table and array element of a text, and the table that is open
// at its end. The decoder has accepted the text or will say what is wrong with it, so it only has
// to tell strings, comments and brackets apart. Elements of arrays count from 1.
func scan(text string) (found map[string]int, table string) {
	s := &scanner{tokens: slices.Collect(tokens(text)), counts: map[string]int{}, found: map[string]int{}}
	s.items("", func(int) {
		if s.peek() == "[" {
			table = s.header()
		} else {
			s.pair(table)
		}
	})
	return s.found, table
}

// peek is the next token, empty at the end.
func (s *scanner) peek() string {
	if s.at < len(s.tokens) {
		return s.tokens[s.at].text
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

// items walks what stands before an end, the n-th from 1.
func (s *scanner) items(end string, item func(n int)) {
	for n := 1; s.peek() != end && s.peek() != ""; {
		if s.takes("\n") || s.takes(",") {
			continue
		}
		before := s.at
		item(n)
		if n++; s.at == before {
			s.at++ // no valid text comes here
		}
	}
	s.takes(end)
}

// note takes down that a path is in the line of the next token, or of the last one.
func (s *scanner) note(path string) {
	if _, ok := s.found[path]; !ok {
		s.found[path] = s.tokens[min(s.at, len(s.tokens)-1)].line
	}
}

// header reads [a.b] or [[a.b]] and returns the path of the table that it opens.
func (s *scanner) header() (path string) {
	opening := 0
	for s.takes("[") {
		opening++
	}
	parts := s.key()
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

// pair reads key = value in a table and notes what is inside the value.
func (s *scanner) pair(table string) {
	for _, part := range s.key() {
		table = join(table, part)
		s.note(table)
	}
	s.takes("=")
	s.value(table)
}

// key reads a dotted key; parts in quotes keep them when they hold a dot.
func (s *scanner) key() (parts []string) {
	for more := true; more; more = s.takes(".") {
		token := s.peek()
		if token == "" || strings.Contains("[]{}=,.\n", token[:1]) {
			break
		}
		if strings.Contains(`"'`, token[:1]) {
			token = part(strings.Trim(token, token[:1]))
		}
		parts = append(parts, token)
		s.at++
	}
	return parts
}

// part is a key as it stands in a path: in quotes unless it is a bare one.
func part(key string) string {
	if key == "" || strings.Trim(key, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-") != "" {
		return strconv.Quote(key)
	}
	return key
}

// value skips a value and notes what is inside it.
func (s *scanner) value(path string) {
	switch {
	case s.takes("["):
		s.items("]", func(n int) {
			element := join(path, strconv.Itoa(n))
			s.note(element)
			s.value(element)
		})
	case s.takes("{"):
		s.items("}", func(int) { s.pair(path) })
	default:
		for s.peek() != "" && !strings.Contains(",]}\n", s.peek()[:1]) {
			s.at++
		}
	}
}
