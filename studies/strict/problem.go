package strict

import (
	"fmt"
	"sort"
	"strings"
)

// Problem is one thing that is wrong with a file.
type Problem struct {
	File   string
	Line   int    // from 1; 0 where no line bears it
	Key    string // full path, array elements counted from 1
	Value  string // as it reads in the file, empty where the key is missing
	Wanted string // what would have been right
	Hint   string // the next move, may be empty
}

// String is the problem on one line: place, key, value, what was wanted, next move.
func (p Problem) String() string {
	var b strings.Builder
	b.WriteString(p.File)
	if p.Line > 0 {
		fmt.Fprintf(&b, ":%d", p.Line)
	}
	b.WriteString(": ")
	if p.Key != "" {
		b.WriteString(p.Key)
		if p.Value != "" {
			b.WriteString(" = " + p.Value)
		}
		b.WriteString(": ")
	}
	b.WriteString(p.Wanted)
	if p.Hint != "" {
		b.WriteString("; " + p.Hint)
	}
	return b.String()
}

// Problems is everything that is wrong with a file, in the order of its lines. It is an error.
type Problems []Problem

// Error lists the problems, one a line.
func (p Problems) Error() string {
	lines := make([]string, len(p))
	for i := range p {
		lines[i] = p[i].String()
	}
	return strings.Join(lines, "\n")
}

// Err is nil where there is no problem, else the problems in the order of their lines.
func (p Problems) Err() error {
	if len(p) == 0 {
		return nil
	}
	sort.SliceStable(p, func(i, j int) bool {
		if p[i].Line != p[j].Line {
			return p[i].Line < p[j].Line
		}
		return p[i].Key < p[j].Key
	})
	return p
}
