package border

import (
	"fmt"
	"slices"
	"strings"

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

// nucleationLaws is the only table from nucleation.*.law to a Go type; unit is "mm3" or "mm2", of which `units` make one that the engine
// counts by. "none" is no law.
func nucleationLaws() map[string]func(d *strict.Document, at, unit string, units float64) (rate.Law, error) {
	return map[string]func(d *strict.Document, at, unit string, units float64) (rate.Law, error){
		"barrier": func(d *strict.Document, at, unit string, units float64) (rate.Law, error) {
			return rate.Barrier{PrefactorPerUnitH: d.Number(at+".prefactor_per_"+unit+"_h") * units, BarrierK3: d.Number(at + ".barrier_K3"),
				PeritecticK: d.Number("material.peritectic_C") + kelvinAt0C}, nil
		},
		"sites": func(d *strict.Document, at, unit string, units float64) (rate.Law, error) {
			return rate.Sites{DensityPerUnit: d.Number(at+".density_per_"+unit) * units, MeanUndercoolingK: d.Number(at + ".mean_undercooling_K"),
				SpreadK: d.Number(at + ".spread_K")}, nil
		},
		"table": func(d *strict.Document, at, unit string, units float64) (rate.Law, error) {
			rates := slices.Clone(d.Numbers(at + ".rate_per_" + unit + "_h"))
			for i := range rates {
				rates[i] *= units
			}
			return rate.NewTable(d.Numbers(at+".undercooling_K"), rates)
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

// textures is the only table from nucleation.orientation.kind to a Go type.
func textures() map[string]nucleation.Texture {
	return map[string]nucleation.Texture{
		"random": nucleation.Random{}, "fibre": nucleation.Fibre{}, "parallel": nucleation.Parallel{},
	}
}

// nuclei reads the four nucleation laws and the orientation of what they start.
func nuclei(d *strict.Document) (nucleation.Model, strict.Problems) {
	m := nucleation.Model{Texture: textures()[d.Text("nucleation.orientation.kind")]}
	var found strict.Problems
	plane := d.Text("body.plane")
	for _, origin := range []struct {
		name string
		into *rate.Law
	}{{"melt", &m.Melt}, {"top", &m.Top}, {"side", &m.Side}, {"bottom", &m.Bottom}} {
		at := "nucleation." + origin.name
		key := countsBy(d, at)
		unit, units := "mm2", 1.0
		switch thick := d.Number("body.thickness_mm"); {
		case strings.Contains(key, "mm3"):
			unit = "mm3"
		case origin.name == "melt" && thick > 0: // the engine counts per mm³
			units = 1 / thick
		}
		law, p := nucleationLaw(d, at, unit, units)
		*origin.into = law
		found = append(found, p...)
		if law == nil {
			continue
		}
		if unit == "mm3" && plane != "" && !d.Has("body.thickness_mm") && !d.Refused("body.thickness_mm") {
			found = append(found, noThickness(d, key))
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

// countsBy is the key by which a nucleation law counts per mm³ or mm²; empty where there is none.
func countsBy(d *strict.Document, at string) string {
	for _, unit := range []string{"mm3", "mm2"} {
		for _, f := range perUnit(at+".", unit, false) {
			if d.Has(f.Key) {
				return f.Key
			}
		}
	}
	return ""
}

// noThickness says that a law per mm³ cannot be counted in a plane of no thickness.
func noThickness(d *strict.Document, key string) strict.Problem {
	law := key
	if d.Line(key) == 0 {
		law += fmt.Sprintf(" of the row %q", d.Text("material.base"))
	}
	return d.Problem("body.thickness_mm", "missing, wanted the thickness of the body that the plane stands for: "+law+" counts nuclei per mm³",
		"write thickness_mm = 10 under [body] for one of 10 mm, or give the law per mm² of the plane, "+strings.Replace(key, "mm3", "mm2", 1))
}

// thinSurfaces says that surfaces of a plane do not know its thickness.
func thinSurfaces(d *strict.Document, m *nucleation.Model) []string {
	if !d.Has("body.thickness_mm") || m.Top == nil && m.Side == nil && m.Bottom == nil {
		return nil
	}
	return []string{fmt.Sprintf("the faces of a plane are lines: nucleation laws of top, side and bottom count per mm of them, as on 1 mm of thickness; "+
		"for faces of body.thickness_mm = %g give them %g times as large", d.Number("body.thickness_mm"), d.Number("body.thickness_mm"))}
}

func nucleationLaw(d *strict.Document, at, unit string, units float64) (rate.Law, strict.Problems) {
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
	law, err := convert(d, at, unit, units)
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
