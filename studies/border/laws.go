package border

import (
	"fmt"
	"slices"

	"onegrain/sim/kinetics"
	"onegrain/sim/nucleation"
	"onegrain/sim/nucleation/rate"
	"onegrain/studies/strict"
)

const kelvinAt0C = 273.15

// growthLaws is the only table from material.growth_*.law to a Go type.
func growthLaws() map[string]func(d *strict.Document, at string) (kinetics.Law, error) {
	return map[string]func(d *strict.Document, at string) (kinetics.Law, error){
		"power": func(d *strict.Document, at string) (kinetics.Law, error) {
			return kinetics.Power{RateAt10K: d.Number(at + ".rate_at_10K_mm_per_h"), Exponent: d.Number(at + ".exponent")}, nil
		},
		"table": func(d *strict.Document, at string) (kinetics.Law, error) {
			return kinetics.NewTable(d.Numbers(at+".undercooling_K"), d.Numbers(at+".rate_mm_per_h"))
		},
	}
}

// nucleationLaws is the only table from nucleation.*.law to a Go type; unit is "mm3" or "mm2". "none" is no law.
func nucleationLaws() map[string]func(d *strict.Document, at, unit string) (rate.Law, error) {
	return map[string]func(d *strict.Document, at, unit string) (rate.Law, error){
		"barrier": func(d *strict.Document, at, unit string) (rate.Law, error) {
			return rate.Barrier{PrefactorPerUnitH: d.Number(at + ".prefactor_per_" + unit + "_h"), BarrierK3: d.Number(at + ".barrier_K3"),
				PeritecticK: d.Number("material.peritectic_C") + kelvinAt0C}, nil
		},
		"sites": func(d *strict.Document, at, unit string) (rate.Law, error) {
			return rate.Sites{DensityPerUnit: d.Number(at + ".density_per_" + unit), MeanUndercoolingK: d.Number(at + ".mean_undercooling_K"),
				SpreadK: d.Number(at + ".spread_K")}, nil
		},
		"table": func(d *strict.Document, at, unit string) (rate.Law, error) {
			return rate.NewTable(d.Numbers(at+".undercooling_K"), d.Numbers(at+".rate_per_"+unit+"_h"))
		},
	}
}

func growthLaw(d *strict.Document, at string) (kinetics.Law, strict.Problems) {
	convert, ok := growthLaws()[d.Text(at+".law")]
	if !ok {
		return nil, nil // missing or unknown: reported already
	}
	if p := checkTable(d, at, ".rate_mm_per_h"); p != nil {
		return nil, strict.Problems{*p}
	}
	if incomplete(d, at, ".rate_mm_per_h") {
		return nil, nil
	}
	law, err := convert(d, at)
	if err != nil {
		return nil, strict.Problems{d.Problem(at+".law", err.Error(), "")}
	}
	return law, nil
}

// nuclei reads the four nucleation laws and the orientation of what they start.
func nuclei(d *strict.Document) (nucleation.Model, strict.Problems) {
	kind := d.Text("nucleation.orientation.kind")
	m := nucleation.Model{Fibre: kind == "fibre", Parallel: kind == "parallel"}
	var found strict.Problems
	plane := d.Text("body.plane")
	for _, origin := range []struct {
		name string
		into *rate.Law
	}{{"melt", &m.Melt}, {"top", &m.Top}, {"side", &m.Side}, {"bottom", &m.Bottom}} {
		at, unit := "nucleation."+origin.name, "mm2"
		if origin.name == "melt" && plane == "" {
			unit = "mm3"
		}
		law, p := nucleationLaw(d, at, unit)
		*origin.into = law
		found = append(found, p...)
		if law == nil {
			continue
		}
		if plane == "ab" && (origin.name == "top" || origin.name == "bottom") {
			found = append(found, d.Problem(at+".law", "a body seen from above (plane ab) has no "+origin.name+" face", `take law = "none"`))
		}
		if d.Text("body.shape") == "block" && d.Flag("body.periodic") && origin.name == "side" {
			found = append(found, d.Problem(at+".law", "a periodic block has no side", `take law = "none"`))
		}
	}
	if d.Text("nucleation.orientation.kind") == "field" {
		found = append(found, d.Problem("nucleation.orientation.kind", "this version has no orientations turned by a magnetic field", `take "random", "fibre" or "parallel"`))
	}
	return m, found
}

func nucleationLaw(d *strict.Document, at, unit string) (rate.Law, strict.Problems) {
	convert, ok := nucleationLaws()[d.Text(at+".law")]
	if !ok {
		return nil, nil // "none", missing or unknown
	}
	if p := checkTable(d, at, ".rate_per_"+unit+"_h"); p != nil {
		return nil, strict.Problems{*p}
	}
	if incomplete(d, at, ".rate_per_"+unit+"_h") {
		return nil, nil
	}
	law, err := convert(d, at, unit)
	if err != nil {
		return nil, strict.Problems{d.Problem(at+".law", err.Error(), "")}
	}
	return law, nil
}

// incomplete tells whether a table lacks one of its lists, which was reported.
func incomplete(d *strict.Document, at, rates string) bool {
	return d.Text(at+".law") == "table" && (!d.Has(at+".undercooling_K") || !d.Has(at+rates))
}

// checkTable finds what makes a table of rates useless; nil where the law is no table.
func checkTable(d *strict.Document, at, rates string) *strict.Problem {
	x, y := d.Numbers(at+".undercooling_K"), d.Numbers(at+rates)
	if d.Text(at+".law") != "table" || len(x) == 0 || len(y) == 0 {
		return nil
	}
	bad := func(key, wanted, hint string) *strict.Problem {
		p := d.Problem(at+key, wanted, hint)
		return &p
	}
	for i := 1; i < len(x); i++ {
		if x[i] <= x[i-1] {
			return bad(".undercooling_K", "wanted increasing undercoolings", fmt.Sprintf("%g does not exceed %g", x[i], x[i-1]))
		}
	}
	switch {
	case len(x) != len(y):
		return bad(rates, fmt.Sprintf("wanted one rate for each undercooling: %d of them", len(x)), fmt.Sprintf("it has %d", len(y)))
	case x[0] == 0 && y[0] != 0:
		return bad(rates, "wanted 0 at an undercooling of 0 K", "nothing happens at equilibrium")
	case slices.Max(y) == 0:
		return bad(rates, "all rates are 0", `leave the law out, or take "none" for nucleation`)
	}
	return nil
}
