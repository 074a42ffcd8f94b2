// Package battery holds the items of the evidence: what is asked, of whom the answer is known, and
// how the two are compared.
//
//  1. [Run] does all items at once, within the cores that the door allows, and judges what they
//     find. What they ask stands in items.toml, what each finding says in findings.toml; each has a
//     file of its own, itemN.go, and asks the same in two and in three dimensions where it exists.
//  2. An item writes its studies as a user does (study.go); the door runs them; tables and volumes
//     come back.
//  3. What is expected comes from closed forms, quadratures and symmetry groups written here
//     (growth.go, hazard.go, extended.go, angles.go), apart from the engine's own.
//  4. An item that cannot go on panics with the reason, which [Run] puts on the page.
package battery

import (
	"embed"
	"fmt"
	"slices"
	"strings"
	"sync"
	"text/template"

	"github.com/BurntSushi/toml"
	"github.com/sourcegraph/conc/iter"
	"github.com/sourcegraph/conc/panics"

	"onegrain/analysis/evidence"
	"onegrain/cmd/evidence/door"
)

//go:embed items.toml findings.toml
var texts embed.FS

// bench is where an item works: the program, and what was found so far, in order. In the short form
// there are fewer runs and coarser cells: seconds instead of minutes. Both forms ask the same;
// tolerances follow from the size by their own reasons.
type bench struct {
	*door.Door
	short size
	found []evidence.Finding
}

type check func(on *bench)

func checks() map[int]check {
	return map[int]check{
		1: lengths, 2: crystallisation, 3: survival, 4: tessellations, 5: disorientations,
		6: twoSeeds, 7: growthSectors, 8: practice, 9: convergence,
	}
}

type size bool

// of chooses by size.
func of[T any](short size, full, less T) T {
	if short {
		return less
	}
	return full
}

// Items are what the items with the given numbers ask, of all if there are none. The error says
// that there is no such item.
func Items(numbers ...int) (chosen []evidence.Item, err error) {
	var all struct{ Item []evidence.Item }
	if _, err := toml.DecodeFS(texts, "items.toml", &all); err != nil {
		return nil, err
	}
	if len(numbers) == 0 {
		return all.Item, nil
	}
	for _, n := range numbers {
		i := slices.IndexFunc(all.Item, func(t evidence.Item) bool { return t.Number == n })
		if i < 0 {
			return nil, fmt.Errorf("there is no item %d", n)
		}
		chosen = append(chosen, all.Item[i])
	}
	return chosen, nil
}

// Run does items; the short form has seconds.
func Run(d *door.Door, short bool, items []evidence.Item) evidence.Page {
	return done(d, size(short), items, checks())
}

func done(d *door.Door, short size, items []evidence.Item, by map[int]check) evidence.Page {
	var wait sync.WaitGroup
	for i := range items {
		wait.Go(func() {
			t := &items[i]
			broke := panics.Try(func() {
				on := &bench{Door: d, short: short}
				by[t.Number](on)
				for _, f := range on.found {
					t.Findings = append(t.Findings, evidence.Judged(f))
				}
			})
			if broke != nil {
				t.Error = fmt.Sprint(broke.Value)
			}
		})
	}
	wait.Wait()
	return evidence.NewPage(items, d.ModelVersion(), of(short, "full", "short"))
}

// gather does the same with all of a list at once, each on a bench of its own, and puts what is
// found in order.
func gather[T any](on *bench, list []T, do func(one T, on *bench)) {
	every := iter.Mapper[T, *bench]{MaxGoroutines: len(list)}
	for _, part := range every.Map(list, func(one *T) *bench {
		part := &bench{Door: on.Door, short: on.short}
		do(*one, part)
		return part
	}) {
		on.found = append(on.found, part.found...)
	}
}

// parts does several checks at once.
func parts(on *bench, all ...check) { gather(on, all, func(one check, on *bench) { one(on) }) }

// values fill in the texts of a finding.
type values map[string]any

// finding is one of findings.toml with its texts filled in, and what is compared.
func finding(name string, with values, expected, found, tolerance float64) evidence.Finding {
	var all map[string]evidence.Finding
	if _, err := toml.DecodeFS(texts, "findings.toml", &all); err != nil || all[name].Quantity == "" {
		panic(fmt.Errorf("findings.toml: no finding %q: %w", name, err))
	}
	f := all[name]
	for _, part := range []*string{&f.Quantity, &f.Where, &f.Source, &f.Because, &f.Sample, &f.Note, &f.Canary.Wrong} {
		var text strings.Builder
		form := template.Must(template.New(name).Option("missingkey=error").Parse(*part))
		if err := form.Execute(&text, with); err != nil {
			panic(err)
		}
		*part = text.String()
	}
	f.Comparison = evidence.Comparison{Expected: expected, Found: found, Tolerance: tolerance}
	return f
}

// against notes a finding whose canary expects something else.
func (on *bench) against(name string, with values, expected, found, tolerance, wrong float64) {
	on.found = append(on.found, finding(name, with, expected, found, tolerance).Against(wrong))
}

// instead notes a finding whose canary finds something else.
func (on *bench) instead(name string, with values, expected, found, tolerance, wrong float64) {
	on.found = append(on.found, finding(name, with, expected, found, tolerance).Instead(wrong))
}
