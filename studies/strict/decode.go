package strict

import (
	"fmt"

	"github.com/BurntSushi/toml"
)

// mostNested is how many brackets may be open at a time, and how many parts a dotted key may have.
// A study has a few.
const mostNested = 1000

// tooDeep is the line from which on a text nests deeper than any study; 0 for none. A decoder goes
// down one call a bracket or part, and a million of them end the program as no panic does.
func tooDeep(text string) (line int) {
	open, parts := 0, 0
	for t := range tokens(text) {
		switch t.text {
		case "[", "{":
			open++
		case "]", "}":
			open = max(0, open-1)
		case ".":
			parts++
		case "=", ",", "\n":
			parts = 0
		}
		if open > mostNested || parts > mostNested {
			return t.line
		}
	}
	return 0
}

// nested says what is wrong with such a text.
func nested() string {
	return fmt.Sprintf("more than %d brackets are open, or parts of a key follow one another", mostNested)
}

// Decode decodes a text from anybody as toml.Decode does, unless it nests deeper than any study:
// the error then says so.
func Decode(text string, into any) error {
	if line := tooDeep(text); line > 0 {
		return fmt.Errorf("line %d: %s", line, nested())
	}
	_, err := toml.Decode(text, into)
	return err
}
