package laws

import (
	"fmt"
	"slices"
	"strings"

	"onegrain/sim/nucleation"
	"onegrain/sim/nucleation/rate"
	"onegrain/studies/strict"
)

const kelvinAt0C = 273.15

func nucleationLaws() []law[rate.Law] {
	return []law[rate.Law]{
		{barrier, []strict.Field{
			strict.Number("barrier_K3", strict.Above(0).UpTo(1e15),
				"rate = prefactor · exp(-barrier / (T ΔT²)), T in kelvin"),
		}, func(unit, text string) strict.Field {
			return strict.Number("prefactor_per_"+unit+"_h", strict.Above(0).UpTo(1e30),
				"strays per "+text+" and hour if there were no barrier")
		}, func(d *strict.Document, at, counts string, units float64) (rate.Law, error) {
			return rate.Barrier{PrefactorPerUnitH: d.Number(counts) * units, BarrierK3: d.Number(at + "barrier_K3"),
				PeritecticK: d.Number("material.peritectic_C") + kelvinAt0C}, nil
		}},
		{sites, []strict.Field{
			strict.Number("mean_undercooling_K", strict.Between(-500, 500),
				"mean of the undercoolings at which the sites start"),
			strict.Number("spread_K", strict.Above(0).UpTo(500),
				"standard deviation of the undercoolings at which the sites start"),
		}, func(unit, text string) strict.Field {
			return strict.Number("density_per_"+unit, strict.Above(0).UpTo(1e9), "sites per "+text+", each starts once")
		}, func(d *strict.Document, at, counts string, units float64) (rate.Law, error) {
			return rate.Sites{DensityPerUnit: d.Number(counts) * units,
				MeanUndercoolingK: d.Number(at + "mean_undercooling_K"), SpreadK: d.Number(at + "spread_K")}, nil
		}},
		{table, []strict.Field{
			strict.Number(undercooling, strict.Between(0, 500),
				"increasing; no strays below the first, constant beyond the last").List(2, 0),
		}, func(unit, text string) strict.Field {
			return strict.Number("rate_per_"+unit+"_h", strict.Between(0, 1e12),
				"one rate for each undercooling, linear between").List(2, 0)
		}, func(d *strict.Document, at, counts string, units float64) (rate.Law, error) {
			rates := slices.Clone(d.Numbers(counts))
			for i := range rates {
				rates[i] *= units
			}
			return rate.NewTable(d.Numbers(at+undercooling), rates)
		}},
	}
}

// NucleationFields are the keys of [nucleation].
func NucleationFields() []strict.Field {
	kind := strict.Text(orientation, "orientation of strays; fibre = c axes parallel to the vertical; "+
		"parallel = a along x too, for comparison with theory").Or("random")
	for _, t := range textures() {
		kind.Choices = append(kind.Choices, t.name)
	}
	fields := []strict.Field{kind}
	for _, origin := range []string{"melt", "top", "side", "bottom"} {
		at := "nucleation." + origin + "."
		key := strict.Text(at+"law", "spontaneous nucleation, origin "+origin).Or(None)
		if origin == "melt" {
			key = strict.Text(at+"law", `write law = "none" for a melt without strays`).
				Beside(strict.Without(LawFile)).Must()
		}
		own := choice(nucleationLaws(), key)
		own[0].Choices = append(own[0].Choices, None)
		var perMM3, perMM2 []strict.Field
		for _, l := range nucleationLaws() {
			if origin == "melt" {
				perMM3, perMM2 = append(perMM3, ofVolume(l, at)), append(perMM2, ofPlane(l, at))
			} else {
				perMM2 = append(perMM2, l.own(l.counts("mm2", "mm²"), at).Must())
			}
		}
		fields = slices.Concat(fields, own, perMM3, perMM2)
	}
	return fields
}

// ofVolume is the key of the melt per mm³. A plane takes it, or the other one in its place.
func ofVolume(l law[rate.Law], at string) strict.Field {
	area := l.counts("mm2", "").Key
	f := l.own(l.counts("mm3", "mm³"), at)
	f.Means += "; a plane takes it with body.thickness_mm, or " + area + " instead"
	return f.Beside(f.When.And(strict.Without("body.plane")).Or(f.When.And(strict.Without(area)))).Must()
}

// ofPlane is the key of the melt per mm² of a plane.
func ofPlane(l law[rate.Law], at string) strict.Field {
	f := l.own(l.counts("mm2", "mm²"), at)
	f.Means += "; mm² of the plane, whatever its thickness"
	return f.Beside(f.When.And(strict.Without("body.plane").Not()))
}

const orientation = "nucleation.orientation.kind"

// textured is how spontaneous grains lie, by its name in a study.
type textured struct {
	name    string
	texture nucleation.Texture // nil: not in this version
}

// textures is the only table from nucleation.orientation.kind to a Go type.
func textures() []textured {
	return []textured{
		{"random", nucleation.Random{}}, {"fibre", nucleation.Fibre{}}, {"parallel", nucleation.Parallel{}},
		{"field", nil},
	}
}

// Each are the laws of a model: of the melt, the top, the side and the bottom; nil for none.
func Each(m nucleation.Model) [4]rate.Law { return [4]rate.Law{m.Melt, m.Top, m.Side, m.Bottom} }

// Any tells whether there is any spontaneous nucleation.
func Any(m nucleation.Model) bool { return Each(m) != [4]rate.Law{} }

// Nuclei reads the four nucleation laws and the orientation of what they start. A law is nil where
// its keys are incomplete or wrong.
func Nuclei(d *strict.Document) (nucleation.Model, strict.Problems) {
	var m nucleation.Model
	var found strict.Problems
	for _, origin := range []struct {
		name string
		into *rate.Law
	}{{"melt", &m.Melt}, {"top", &m.Top}, {"side", &m.Side}, {"bottom", &m.Bottom}} {
		law, p := nucleationOf(d, origin.name)
		*origin.into = law
		found = append(found, p...)
	}
	for _, t := range textures() {
		if t.name != d.Text(orientation) {
			continue
		}
		if m.Texture = t.texture; m.Texture == nil {
			found = append(found, d.Problem(orientation, "this version has no orientations turned by a magnetic field",
				`take "random", "fibre" or "parallel"`)...)
		}
	}
	return m, found
}

// nucleationOf reads the law of an origin.
func nucleationOf(d *strict.Document, origin string) (rate.Law, strict.Problems) {
	at := "nucleation." + origin + "."
	l := named(nucleationLaws(), d, at)
	if l == nil {
		return nil, nil // "none", missing or unknown
	}
	units, counts, perMM3 := 1.0, at+l.counts("mm2", "").Key, at+l.counts("mm3", "").Key
	volume := origin == "melt" && d.Has(perMM3)
	if thick := d.Number("body.thickness_mm"); volume {
		counts = perMM3
	} else if origin == "melt" && thick > 0 { // the engine counts per mm³
		units = 1 / thick
	}
	law, found := l.read(d, at, counts, units)
	if law == nil {
		return nil, found
	}
	return law, append(found, misplaced(d, origin, counts, volume)...)
}

// misplaced finds a law that the body has no place for.
func misplaced(d *strict.Document, origin, counts string, volume bool) (found strict.Problems) {
	law, plane := "nucleation."+origin+".law", d.Text("body.plane")
	if volume {
		of := counts
		if d.Line(counts) == 0 {
			of += fmt.Sprintf(" of the row %q", d.Text("material.base"))
		}
		found = thin(d, of, ", or give the law per mm² of the plane, "+strings.Replace(counts, "mm3", "mm2", 1))
	}
	if plane == "ab" && (origin == "top" || origin == "bottom") {
		found = append(found, d.Problem(law, "a body seen from above (plane ab) has no "+origin+" face",
			`take law = "none"`)...)
	}
	if d.Text("body.shape") == "block" && d.Flag("body.periodic") && origin == "side" {
		found = append(found, d.Problem(law, "a periodic block has no side", `take law = "none"`)...)
	}
	return found
}

// thin refuses a law per mm³ in a plane whose thickness nobody says.
func thin(d *strict.Document, law, otherwise string) strict.Problems {
	const thickness = "body.thickness_mm"
	if d.Text("body.plane") == "" || d.Has(thickness) || d.Refused(thickness) {
		return nil
	}
	return d.Problem(thickness,
		"missing, wanted the thickness of the body that the plane stands for: "+law+" counts strays per mm³",
		"write thickness_mm = 10 under [body] for one of 10 mm"+otherwise)
}

// ThinSurfaces says that surfaces of a plane do not know its thickness; empty where there is
// nothing to say.
func ThinSurfaces(d *strict.Document, m nucleation.Model) []string {
	m.Melt = nil
	if !d.Has("body.thickness_mm") || !Any(m) {
		return nil
	}
	thick := d.Number("body.thickness_mm")
	return []string{fmt.Sprintf("the faces of a plane are lines: nucleation laws of top, side and bottom count per mm "+
		"of them, as on 1 mm of thickness; for faces of body.thickness_mm = %g give them %g times as large", thick, thick)}
}
