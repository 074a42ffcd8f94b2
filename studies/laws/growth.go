package laws

import (
	"fmt"
	"slices"
	"strings"

	"onegrain/sim/kinetics"
	"onegrain/studies/strict"
)

// Names of laws, as a study writes them. None is no nucleation.
const (
	power   = "power"
	table   = "table"
	barrier = "barrier"
	sites   = "sites"
	None    = "none"
)

const undercooling = "undercooling_K" // of tables

// law is a law of growth or nucleation as a study writes it. Make takes the beginning of its keys;
// of the key that counts, which growth does not have, it takes `units` times as many.
type law[L any] struct {
	name   string
	keys   []strict.Field                       // that it needs, without their table
	counts func(unit, text string) strict.Field // the key that counts per unit, "mm3" or "mm2"
	make   func(d *strict.Document, at, counts string, units float64) (L, error)
}

const growthRates = "rate_mm_per_h"

func growthLaws() []law[kinetics.Law] {
	return []law[kinetics.Law]{
		{power, []strict.Field{
			strict.Number("rate_at_10K_mm_per_h", strict.Above(0).UpTo(1000), "growth rate at 10 K of undercooling"),
			strict.Number("exponent", strict.Between(0, 10), "rate = rate at 10 K · (undercooling / 10 K)^exponent"),
		}, nil, func(d *strict.Document, at, _ string, _ float64) (kinetics.Law, error) {
			return kinetics.Power{RateAt10K: d.Number(at + "rate_at_10K_mm_per_h"), Exponent: d.Number(at + "exponent")}, nil
		}},
		{table, []strict.Field{
			strict.Number(undercooling, strict.Between(0, 500), "increasing; constant beyond the last").List(2, 0),
			strict.Number(growthRates, strict.Between(0, 1000), "one rate for each undercooling, linear between").List(2, 0),
		}, nil, func(d *strict.Document, at, _ string, _ float64) (kinetics.Law, error) {
			return kinetics.NewTable(d.Numbers(at+undercooling), d.Numbers(at+growthRates))
		}},
	}
}

// Growth reads the growth law whose keys begin with at; it is nil where they are incomplete or
// wrong.
func Growth(d *strict.Document, at string) (kinetics.Law, strict.Problems) {
	if l := named(growthLaws(), d, at); l != nil {
		return l.read(d, at, at+growthRates, 1)
	}
	return nil, nil // missing or unknown: reported already
}

// Grown is the length in mm that a face grows while the undercooling goes evenly from one value to
// another.
func Grown(l kinetics.Law, fromK, toK, hours float64) float64 {
	return kinetics.Length(l, fromK, toK, hours)
}

// MaterialFields are the keys of [material] with its growth laws.
func MaterialFields() []strict.Field {
	own := strict.Without(LawFile)
	return slices.Concat([]strict.Field{
		strict.Text("material.base", "a row of `onegrain materials`; every value below overrides it"),
		strict.Number("material.peritectic_C", strict.Between(500, 1500),
			"peritectic temperature: undercooling is measured from here").Must(),
		strict.Text(LawFile, "a file of draws by `onegrain fit laws`, beside the study: it takes the place of growth_a, "+
			"growth_c and nucleation.melt, and chances are means over its laws"),
		strict.Text(furnace, `a furnace of that file, the first one if not given, or "`+another+`" for one that its `+
			"logbook does not know").Beside(strict.Without(LawFile).Not()),
	},
		choice(growthLaws(), strict.Text("material.growth_a.law", "growth law of the {100} and {010} faces").
			Beside(own).Must()),
		choice(growthLaws(), strict.Text("material.growth_c.law", "growth law of the {001} faces").Beside(own).Must()))
}

// choice is the key that chooses between laws, and the keys of each.
func choice[L any](laws []law[L], key strict.Field) []strict.Field {
	fields := []strict.Field{key}
	for _, l := range laws {
		fields[0].Choices = append(fields[0].Choices, l.name)
		for _, f := range l.keys {
			fields = append(fields, l.own(f, strings.TrimSuffix(key.Key, "law")).Must())
		}
	}
	return fields
}

// own is a key of the law in a table.
func (l law[L]) own(f strict.Field, at string) strict.Field {
	f.Key = at + f.Key
	return f.Beside(strict.Is("law", l.name))
}

// named is the law that a study names in a table; nil for none.
func named[L any](laws []law[L], d *strict.Document, at string) *law[L] {
	for _, l := range laws {
		if d.Text(at+"law") == l.name {
			return &l
		}
	}
	return nil
}

// read makes a law after a look at its table, if it is one; it is nil where a key is missing or
// wrong.
func (l law[L]) read(d *strict.Document, at, rates string, units float64) (made L, _ strict.Problems) {
	if l.name == table {
		x, y := d.Numbers(at+undercooling), d.Numbers(rates)
		if len(x) == 0 || len(y) == 0 {
			return made, nil // missing, which was reported
		}
		if ofRates, wanted, hint := tableFault(x, y); wanted != "" && ofRates {
			return made, d.Problem(rates, wanted, hint)
		} else if wanted != "" {
			return made, d.Problem(at+undercooling, wanted, hint)
		}
	}
	law, err := l.make(d, at, rates, units)
	if err != nil {
		return made, d.Problem(at+"law", err.Error(), "")
	}
	return law, nil
}

// tableFault finds what makes a table of rates (y) useless, and whether they are to blame or the
// undercoolings (x).
func tableFault(x, y []float64) (ofRates bool, wanted, hint string) {
	for i := 1; i < len(x); i++ {
		if x[i] <= x[i-1] {
			return false, "wanted increasing undercoolings", fmt.Sprintf("%g does not exceed %g", x[i], x[i-1])
		}
	}
	switch {
	case len(x) != len(y):
		wanted, hint = fmt.Sprintf("wanted one rate for each undercooling: %d of them", len(x)),
			fmt.Sprintf("it has %d", len(y))
	case x[0] == 0 && y[0] != 0:
		wanted, hint = "wanted 0 at an undercooling of 0 K", "nothing happens at equilibrium"
	case slices.Max(y) == 0:
		wanted, hint = "all rates are 0", `leave the law out, or take "none" for nucleation`
	}
	return true, wanted, hint
}
