package border

import (
	"strings"

	"onegrain/studies/strict"
)

// Fields are the keys of a study that decide what happens in the furnace. A # stands for an array element.
func Fields() strict.Schema {
	var all strict.Schema
	for _, part := range [][]strict.Field{materialFields(), bodyFields(), seedFields(), arrayFields(), scheduleFields(), nucleationFields()} {
		all = append(all, part...)
	}
	return all
}

// Sections are the top-level keys of Fields: together they decide a case and nothing else does.
func Sections() []string {
	return []string{"material", "body", "seed", "seed_array", "schedule", "gradient", "nucleation", "domain"}
}

func materialFields() []strict.Field {
	fields := []strict.Field{
		{Key: "material.base", Kind: strict.Text, Means: "a row of `onegrain materials`; every value below overrides it"},
		{Key: "material.peritectic_C", Kind: strict.Number, Unit: "°C", Range: "[500, 1500]", Needed: true, Means: "peritectic temperature: undercooling is measured from here"},
	}
	for _, face := range []struct{ key, means string }{{"growth_a", "{100} and {010} faces"}, {"growth_c", "{001} faces"}} {
		at := "material." + face.key + "."
		fields = append(fields,
			strict.Field{Key: at + "law", Kind: strict.Text, Choices: []string{"power", "table"}, Needed: true, Means: "growth law of the " + face.means},
			strict.Field{Key: at + "rate_at_10K_mm_per_h", Kind: strict.Number, Unit: "mm/h", Range: "(0, 1000]", When: "law=power", Needed: true, Means: "growth rate at 10 K of undercooling"},
			strict.Field{Key: at + "exponent", Kind: strict.Number, Range: "[0, 10]", When: "law=power", Needed: true, Means: "rate = rate at 10 K · (undercooling / 10 K)^exponent"},
			strict.Field{Key: at + "undercooling_K", Kind: strict.Numbers, Unit: "K", Range: "[0, 500]", Count: [2]int{2, 0}, When: "law=table", Needed: true, Means: "increasing; constant beyond the last"},
			strict.Field{Key: at + "rate_mm_per_h", Kind: strict.Numbers, Unit: "mm/h", Range: "[0, 1000]", Count: [2]int{2, 0}, When: "law=table", Needed: true, Means: "one rate for each undercooling, linear between"},
		)
	}
	return fields
}

func bodyFields() []strict.Field {
	return []strict.Field{
		{Key: "body.shape", Kind: strict.Text, Choices: []string{"disc", "block", "ring", "mask"}, Needed: true, Means: "outline of the body"},
		{Key: "body.plane", Kind: strict.Text, Choices: []string{"ab", "ac"}, Means: "two dimensions: seen from above (ab) or a vertical section (ac)"},
		{Key: "body.diameter_mm", Kind: strict.Number, Unit: "mm", Range: "(0, 1000]", When: "shape=disc", Needed: true, Means: "diameter of the disc"},
		{Key: "body.outer_diameter_mm", Kind: strict.Number, Unit: "mm", Range: "(0, 1000]", When: "shape=ring", Needed: true, Means: "outer diameter of the ring"},
		{Key: "body.inner_diameter_mm", Kind: strict.Number, Unit: "mm", Range: "(0, 1000]", When: "shape=ring", Needed: true, Means: "inner diameter of the ring"},
		{Key: "body.size_mm", Kind: strict.Numbers, Unit: "mm", Range: "(0, 1000]", Count: [2]int{2, 3}, When: "shape=block", Needed: true, Means: "[x, y, z]; [x, y] in the plane ab, [x, z] in the plane ac"},
		{Key: "body.height_mm", Kind: strict.Number, Unit: "mm", Range: "(0, 1000]", When: "shape=disc,ring & plane!=ab || shape=mask & plane=", Needed: true, Means: "height of the body; its bottom is z = 0"},
		{Key: "body.thickness_mm", Kind: strict.Number, Unit: "mm", Range: "(0, 1000]", When: "plane=ab,ac", Means: "of the body that the plane stands for: volumes are areas times this, needed where a law of the melt is per mm³; 1 where not given"},
		{Key: "body.file", Kind: strict.Text, When: "shape=mask", Needed: true, Means: "PNG outline, dark is body, beside the study"},
		{Key: "body.mm_per_pixel", Kind: strict.Number, Unit: "mm", Range: "(0, 10]", When: "shape=mask", Needed: true, Means: "edge of a pixel of the outline"},
		{Key: "body.cell_mm", Kind: strict.Number, Unit: "mm", Range: "(0, 100]", Needed: true, Means: "edge of a cell"},
		{Key: "body.periodic", Kind: strict.Flag, Default: false, When: "shape=block", Means: "opposite faces are joined, for comparison with infinite-body theory"},
		{Key: "domain.join_deg", Kind: strict.Number, Unit: "°", Range: "[0, 98.43]", Default: 5.0, Means: "touching seeded grains within this disorientation count as one domain"},
		{Key: "gradient.vertical_K_per_mm", Kind: strict.Number, Unit: "K/mm", Range: "[-100, 100]", Default: 0.0, Means: "hotter upwards where positive; zero at the centre of the top face"},
		{Key: "gradient.radial_K_per_mm", Kind: strict.Number, Unit: "K/mm", Range: "[-100, 100]", Default: 0.0, Means: "hotter outwards where positive; zero at the centre of the top face"},
	}
}

// placed are the keys that single seeds and arrays share.
func placed(at string) []strict.Field {
	return []strict.Field{
		{Key: at + "size_mm", Kind: strict.Numbers, Unit: "mm", Range: "(0, 1000]", Count: [2]int{2, 2}, Needed: true, Means: "contact patch along the seed's own a and b"},
		{Key: at + "turn_deg", Kind: strict.Number, Unit: "°", Range: "[-360, 360]", Default: 0.0, Means: "turn about the vertical"},
		{Key: at + "tilt_deg", Kind: strict.Number, Unit: "°", Range: "[0, 90]", Default: 0.0, Means: "c axis away from the vertical"},
		{Key: at + "tilt_toward_deg", Kind: strict.Number, Unit: "°", Range: "[-360, 360]", Default: 0.0, Means: "azimuth of the tilt, 0 = +x"},
		{Key: at + "turn_sd_deg", Kind: strict.Number, Unit: "°", Range: "[0, 90]", Default: 0.0, Means: "placing scatter of the turn, drawn anew for each replicate"},
		{Key: at + "tilt_sd_deg", Kind: strict.Number, Unit: "°", Range: "[0, 90]", Default: 0.0, Means: "placing scatter of the tilt, drawn anew for each replicate"},
		{Key: at + "peritectic_C", Kind: strict.Number, Unit: "°C", Range: "[500, 2000]", Means: "of the seed itself: a schedule that would dissolve it is an error"},
	}
}

func seedFields() []strict.Field {
	return append([]strict.Field{
		{Key: "seed.#.at_mm", Kind: strict.Numbers, Unit: "mm", Range: "[-1000, 1000]", Count: [2]int{2, 2}, Default: []float64{0, 0}, Means: "x, y of its centre on the top face; the axis of the body is x = y = 0"},
	}, placed("seed.#.")...)
}

func arrayFields() []strict.Field {
	return append([]strict.Field{
		{Key: "seed_array.#.kind", Kind: strict.Text, Choices: []string{"ring", "grid", "row"}, Needed: true, Means: "how the seeds are laid out"},
		{Key: "seed_array.#.at_mm", Kind: strict.Numbers, Unit: "mm", Range: "[-1000, 1000]", Count: [2]int{2, 2}, Default: []float64{0, 0}, Means: "x, y of the centre of the array"},
		{Key: "seed_array.#.count", Kind: strict.Whole, Range: "[1, 10000]", When: "kind=ring,row", Needed: true, Means: "number of seeds"},
		{Key: "seed_array.#.radius_mm", Kind: strict.Number, Unit: "mm", Range: "(0, 1000]", When: "kind=ring", Needed: true, Means: "radius of the circle on which the centres lie, the first towards +x"},
		{Key: "seed_array.#.turn", Kind: strict.Text, Choices: []string{"radial", "parallel"}, Default: "parallel", When: "kind=ring", Means: "radial turns each seed with its place on the circle"},
		{Key: "seed_array.#.rows", Kind: strict.Whole, Range: "[1, 1000]", When: "kind=grid", Needed: true, Means: "seeds along y"},
		{Key: "seed_array.#.columns", Kind: strict.Whole, Range: "[1, 1000]", When: "kind=grid", Needed: true, Means: "seeds along x"},
		{Key: "seed_array.#.pitch_mm", Kind: strict.Numbers, Unit: "mm", Range: "[-1000, 1000]", Count: [2]int{2, 2}, When: "kind=grid,row", Needed: true, Means: "grid: distance along x and along y; row: step from seed to seed, [x, y]"},
	}, placed("seed_array.#.")...)
}

func scheduleFields() []strict.Field {
	return []strict.Field{
		{Key: "schedule.start_C", Kind: strict.Number, Unit: "°C", Range: "[-50, 1500]", Default: 25.0, Means: "temperature at the start"},
		{Key: "schedule.stage.#.to_C", Kind: strict.Number, Unit: "°C", Range: "[-50, 1500]", Means: "ramp to this temperature"},
		{Key: "schedule.stage.#.to_undercooling_K", Kind: strict.Number, Unit: "K", Range: "[-500, 500]", Means: "ramp to this undercooling; negative is above the peritectic temperature"},
		{Key: "schedule.stage.#.rate_K_per_h", Kind: strict.Number, Unit: "K/h", Range: "(0, 100000]", When: "hold_h=", Needed: true, Means: "speed of the ramp; its direction follows from the target"},
		{Key: "schedule.stage.#.hold_h", Kind: strict.Number, Unit: "h", Range: "[0, 100000]", Means: "stay at the temperature reached"},
	}
}

func nucleationFields() []strict.Field {
	fields := []strict.Field{
		{Key: "nucleation.orientation.kind", Kind: strict.Text, Choices: []string{"random", "fibre", "parallel", "field"}, Default: "random", Means: "orientation of spontaneous grains; fibre = c axes parallel to the vertical; parallel = a along x too, for comparison with theory"},
	}
	for _, origin := range []string{"melt", "top", "side", "bottom"} {
		at := "nucleation." + origin + "."
		law := strict.Field{Key: at + "law", Kind: strict.Text, Choices: []string{"barrier", "sites", "table", "none"}, Means: "spontaneous nucleation, origin " + origin}
		if origin == "melt" {
			law.Needed, law.Means = true, `say law = "none" for a melt without stray grains`
		} else {
			law.Default = "none"
		}
		fields = append(fields, law,
			strict.Field{Key: at + "barrier_K3", Kind: strict.Number, Unit: "K³", Range: "(0, 1e15]", When: "law=barrier", Needed: true, Means: "rate = prefactor · exp(-barrier / (T ΔT²)), T in kelvin"},
			strict.Field{Key: at + "mean_undercooling_K", Kind: strict.Number, Unit: "K", Range: "[-500, 500]", When: "law=sites", Needed: true, Means: "mean of the undercoolings at which the sites start"},
			strict.Field{Key: at + "spread_K", Kind: strict.Number, Unit: "K", Range: "(0, 500]", When: "law=sites", Needed: true, Means: "standard deviation of the undercoolings at which the sites start"},
			strict.Field{Key: at + "undercooling_K", Kind: strict.Numbers, Unit: "K", Range: "[0, 500]", Count: [2]int{2, 0}, When: "law=table", Needed: true, Means: "increasing; no nuclei below the first, constant beyond the last"},
		)
		if origin == "melt" {
			fields = append(fields, perUnit(at, "mm3", true)...)
		}
		fields = append(fields, perUnit(at, "mm2", origin == "melt")...)
	}
	return fields
}

// perUnit are the keys of a nucleation law that count per volume or per area. The melt of a plane takes either: per mm³ of the body that
// it stands for, or per mm² of the plane.
func perUnit(at, unit string, melt bool) []strict.Field {
	sup := map[string]string{"mm2": "mm²", "mm3": "mm³"}[unit]
	fields := []strict.Field{
		{Key: "prefactor_per_" + unit + "_h", Kind: strict.Number, Unit: "1/(" + sup + " h)", Range: "(0, 1e30]", When: "law=barrier", Needed: true, Means: "nuclei per " + sup + " and hour at no barrier"},
		{Key: "density_per_" + unit, Kind: strict.Number, Unit: "1/" + sup, Range: "(0, 1e9]", When: "law=sites", Needed: true, Means: "sites per " + sup + ", each starts once"},
		{Key: "rate_per_" + unit + "_h", Kind: strict.Numbers, Unit: "1/(" + sup + " h)", Range: "[0, 1e12]", Count: [2]int{2, 0}, When: "law=table", Needed: true, Means: "one rate for each undercooling, linear between"},
	}
	for i := range fields {
		f := &fields[i]
		area := strings.Replace(f.Key, "mm3", "mm2", 1)
		switch {
		case melt && unit == "mm3":
			f.When += " & body.plane= || " + f.When + " & " + area + "="
			f.Means += "; a plane takes it with body.thickness_mm, or " + area + " instead"
		case melt:
			f.When, f.Needed = f.When+" & body.plane!=", false
			f.Means += " of the plane, whatever its thickness"
		}
		f.Key = at + f.Key
	}
	return fields
}
