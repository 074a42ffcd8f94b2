package main

import (
	"fmt"
	"io"
	"os"

	"golang.org/x/term"

	"onegrain/analysis/plain"
	"onegrain/studies/disk"
)

// streams of a command: data go to out, everything else to err.
type streams struct {
	in       io.Reader
	out, err io.Writer
	disk     disk.Disk // of results; nil = the machine's own
}

// on is the disk of results.
func (s streams) on() disk.Disk {
	if s.disk == nil {
		return disk.Real()
	}
	return s.disk
}

// say writes a message for people.
func (s streams) say(format string, values ...any) { fmt.Fprintf(s.err, format+"\n", values...) }

// notes writes remarks for people, a line or more each.
func (s streams) notes(texts []string) {
	for _, text := range texts {
		s.say("%s", plain.Folded("note: "+text, "  "))
	}
}

// terminal tells whether a person watches a stream.
func terminal(w any) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// coloured tells whether a stream takes colours: a terminal, unless NO_COLOR is set to anything or
// the terminal is a dumb one.
func coloured(w any) bool {
	return terminal(w) && os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb"
}

// bold marks text on streams that take colours.
func bold(w any, text string) string {
	if !coloured(w) {
		return text
	}
	return plain.Bold(text)
}
