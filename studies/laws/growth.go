package laws

import (
	"fmt"
	"slices"

	"onegrain/sim/kinetics"
	"onegrain/studies/strict"
)

// Names of laws, as a study writes them. None is no nucleation.
const (
	Power   = "power"
	Table   = "table"
	Barrier = "barrier"
	Sites   = "sites"
	None    = "none"
)

const undercooling = "undercooling_K" // of tables

// law is what growth and nucleation laws have in common: a name and the keys that it needs, without
// their table.
type law struct {
	name string
	keys []strict.Field
}

// growthLaw makes a law of growth of the document whose keys begin with at.
type growthLaw struct {
	law
	make func(d *strict.Document, at string) (kinetics.Law, error)
}

const growthRates = "rate_mm_per_h"

func growthLaws() []growthLaw {
	return []growthLaw{
		{law{Power, []strict.Field{
			strict.Number("rate_at_10K_mm_per_h", strict.Above(0).UpTo(1000), "growth rate at 10 K of undercooling"),
			strict.Number("exponent", strict.Between(0, 10), "rate = rate at 10 K · (undercooling / 10 K)^exponent"),
		}}, func(d *strict.Document, at string) (kinetics.Law, error) {
			return kinetics.Power{RateAt10K: d.Number(at + "rate_at_10K_mm_per_h"), Exponent: d.Number(at + "exponent")}, nil
		}},
		{law{Table, []strict.Field{
			strict.Number(undercooling, strict.Between(0, 500), "increasing; constant beyond the last").List(2, 0),
			strict.Number(growthRates, strict.Between(0, 1000), "one rate for each undercooling, linear between").List(2, 0),
		}}, func(d *strict.Document, at string) (kinetics.Law, error) {
			return kinetics.NewTable(d.Numbers(at+undercooling), d.Numbers(at+growthRates))
		}},
	}
}

// Growth reads the growth law whose keys begin with at; it is nil where they are incomplete or
// wrong.
func Growth(d *strict.Document, at string) (kinetics.Law, strict.Problems) {
	for _, l := range growthLaws() {
		if d.Text(at+"law") == l.name {
			return read(d, at, growthRates, func() (kinetics.Law, error) { return l.make(d, at) })
		}
	}
	return nil, nil // missing or unknown: reported already
}

// MaterialFields are the keys of [material] with its growth laws.
func MaterialFields() []strict.Field {
	fields := []strict.Field{
		strict.Text("material.base", "a row of `onegrain materials`; every value below overrides it"),
		strict.Number("material.peritectic_C", strict.Between(500, 1500),
			"peritectic temperature: undercooling is measured from here").Must(),
	}
	for _, face := range [][2]string{{"growth_a", "{100} and {010} faces"}, {"growth_c", "{001} faces"}} {
		at := "material." + face[0] + "."
		choice := strict.Text(at+"law", "growth law of the "+face[1]).Must()
		var keys []strict.Field
		for _, l := range growthLaws() {
			choice.Choices = append(choice.Choices, l.name)
			keys = append(keys, l.at(at)...)
		}
		fields = append(append(fields, choice), keys...)
	}
	return fields
}

// at are the keys of a law in a table.
func (l law) at(at string) []strict.Field {
	out := slices.Clone(l.keys)
	for i, f := range out {
		f.Key = at + f.Key
		out[i] = f.Beside(strict.Is("law", l.name)).Must()
	}
	return out
}

// read makes a law after a look at its table, if it is one; the law is nil where a key is missing
// or wrong.
func read[L any](d *strict.Document, at, rates string, make func() (L, error)) (law L, found strict.Problems) {
	if d.Text(at+"law") == Table {
		x, y := d.Numbers(at+undercooling), d.Numbers(at+rates)
		if len(x) == 0 || len(y) == 0 {
			return law, nil // missing, which was reported
		}
		if key, wanted, hint := tableFault(x, y); key != "" {
			key = map[string]string{"x": at + undercooling, "y": at + rates}[key]
			return law, d.Problem(key, wanted, hint)
		}
	}
	made, err := make()
	if err != nil {
		return law, d.Problem(at+"law", err.Error(), "")
	}
	return made, nil
}

// tableFault finds what makes a table of rates useless, and whether undercoolings (x) or rates (y)
// are to blame.
func tableFault(x, y []float64) (key, wanted, hint string) {
	for i := 1; i < len(x); i++ {
		if x[i] <= x[i-1] {
			return "x", "wanted increasing undercoolings", fmt.Sprintf("%g does not exceed %g", x[i], x[i-1])
		}
	}
	switch {
	case len(x) != len(y):
		return "y", fmt.Sprintf("wanted one rate for each undercooling: %d of them", len(x)), fmt.Sprintf("it has %d", len(y))
	case x[0] == 0 && y[0] != 0:
		return "y", "wanted 0 at an undercooling of 0 K", "nothing happens at equilibrium"
	case slices.Max(y) == 0:
		return "y", "all rates are 0", `leave the law out, or take "none" for nucleation`
	}
	return "", "", ""
}
