package strict

import (
	"cmp"
	"fmt"
	"slices"
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
	Cause  error  // where it was another error; else nil
}

// String is the problem on one line: place, key, value, what was wanted, next move.
func (p Problem) String() string {
	place, key, next := p.File+": ", p.Key, p.Hint
	if p.Line > 0 {
		place = fmt.Sprintf("%s:%d: ", p.File, p.Line)
	}
	if key != "" && p.Value != "" {
		key += " = " + p.Value
	}
	if key != "" {
		key += ": "
	}
	if next != "" {
		next = "; " + next
	}
	return place + key + p.Wanted + next
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

// Unwrap are the errors behind the problems.
func (p Problems) Unwrap() (causes []error) {
	for _, one := range p {
		if one.Cause != nil {
			causes = append(causes, one.Cause)
		}
	}
	return causes
}

// Err is nil where there is no problem, else the problems in the order of their lines.
func (p Problems) Err() error {
	if len(p) == 0 {
		return nil
	}
	slices.SortStableFunc(p, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Key, b.Key))
	})
	return p
}
