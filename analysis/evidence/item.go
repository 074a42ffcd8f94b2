package evidence

import (
	"sync"

	"github.com/sourcegraph/conc/panics"

	"onegrain/cmd/evidence/door"
)

// Size is how much work a battery does. Both sizes ask the same; tolerances follow from the size by their own reasons.
type Size bool

const (
	Full  Size = false // minutes
	Short Size = true  // seconds: fewer runs, coarser cells
)

// Of chooses by size.
func Of[T any](s Size, full, short T) T {
	if s == Short {
		return short
	}
	return full
}

// Item is one entry of the battery.
type Item struct {
	Number      int      // in the battery
	Name        string   // a few words
	Source      string   // author and year, the derivation in words, or "common practice"
	Settles     string   // what agreement here settles
	Cannot      string   // what it cannot
	Differences []string // where program and reference differed, and which of them was wrong
	Check       func(d *door.Door, s Size) ([]Finding, error)
}

// Run checks all items at once and judges what they find. An item that breaks off is told on the page with its error.
func Run(items []Item, d *door.Door, s Size) Page {
	told := make([]Told, len(items))
	var wait sync.WaitGroup
	for i, item := range items {
		wait.Go(func() { told[i] = tell(item, d, s) })
	}
	wait.Wait()
	return newPage(told, d.ModelVersion(), s)
}

func tell(item Item, d *door.Door, s Size) Told {
	t := Told{Number: item.Number, Name: item.Name, Source: item.Source, Settles: item.Settles, Cannot: item.Cannot, Differences: item.Differences}
	var found []Finding
	var err error
	if broke := panics.Try(func() { found, err = item.Check(d, s) }); broke != nil {
		err = broke.AsError()
	}
	if err != nil {
		t.Error = err.Error()
	}
	for _, f := range found {
		t.Findings = append(t.Findings, judged(f))
	}
	return t
}
