package layout

import (
	"slices"

	"onegrain/studies/strict"
)

// Fields are the keys of body, gradient and seeds.
func Fields() []strict.Field {
	centre := point("seed.#.at_mm", "x, y of its centre on the top face; the axis of the body is x = y = 0")
	return slices.Concat(bodyFields(), []strict.Field{centre}, placed("seed.#."), arrayFields())
}

// length takes the lengths of bodies and seeds.
func length() strict.Range { return strict.Above(0).UpTo(1000) }

func bodyFields() []strict.Field {
	shape := func(names ...string) strict.Condition { return strict.Is("shape", names...) }
	solid := shape("disc", "ring").And(strict.Is("plane", "ab").Not()).Or(shape("mask").And(strict.Without("plane")))
	steep := strict.Between(-100, 100)
	return []strict.Field{
		strict.Text("body.shape", "outline of the body", "disc", "block", "ring", "mask").Must(),
		strict.Text("body.plane", "two dimensions: seen from above (ab) or a vertical section (ac)", "ab", "ac"),
		strict.Number("body.diameter_mm", length(), "diameter of the disc").Beside(shape("disc")).Must(),
		strict.Number("body.outer_diameter_mm", length(), "outer diameter of the ring").Beside(shape("ring")).Must(),
		strict.Number("body.inner_diameter_mm", length(), "inner diameter of the ring").Beside(shape("ring")).Must(),
		strict.Number("body.size_mm", length(), "[x, y, z]; [x, y] in the plane ab, [x, z] in the plane ac").List(2, 3).
			Beside(shape("block")).Must(),
		strict.Number("body.height_mm", length(), "height of the body; its bottom is z = 0").Beside(solid).Must(),
		strict.Number("body.thickness_mm", length(), "thickness of the body across the plane: volumes are areas times "+
			"this; needed where a law of the melt is per mm³, else 1 where not given").Beside(strict.Is("plane", "ab", "ac")),
		strict.Text("body.file", "PNG outline, dark is body, beside the study").Beside(shape("mask")).Must(),
		strict.Number("body.mm_per_pixel", strict.Above(0).UpTo(10), "edge of a pixel of the outline").In("mm").
			Beside(shape("mask")).Must(),
		strict.Number("body.cell_mm", strict.Above(0).UpTo(100), "edge of a cell").Must(),
		{Key: "body.periodic", Like: false, Default: false, When: shape("block"),
			Means: "opposite faces are joined, for comparison with infinite-body theory"},
		strict.Number("domain.join_deg", strict.Between(0, 98.43),
			"touching seeded grains within this disorientation count as one domain").Or(5.0),
		strict.Number("gradient.vertical_K_per_mm", steep,
			"hotter upwards where positive; zero at the centre of the top face").Or(0.0),
		strict.Number("gradient.radial_K_per_mm", steep,
			"hotter outwards where positive; zero at the centre of the top face").Or(0.0),
	}
}

// placed are the keys that single seeds and arrays share.
func placed(at string) []strict.Field {
	return []strict.Field{
		strict.Number(at+"size_mm", length(), "edges of the contact area along the seed's own a and b").List(2, 2).Must(),
		strict.Number(at+"turn_deg", strict.Between(-360, 360), "turn about the vertical").Or(0.0),
		strict.Number(at+"tilt_deg", strict.Between(0, 90), "angle of the c axis to the vertical").Or(0.0),
		strict.Number(at+"tilt_toward_deg", strict.Between(-360, 360), "direction of the tilt from above, 0 = +x").Or(0.0),
		strict.Number(at+"turn_sd_deg", strict.Between(0, 90),
			"placing scatter of the turn, drawn anew for each replicate").Or(0.0),
		strict.Number(at+"tilt_sd_deg", strict.Between(0, 90),
			"placing scatter of the tilt, drawn anew for each replicate").Or(0.0),
		strict.Number(at+"peritectic_C", strict.Between(500, 2000),
			"peritectic temperature of the seed itself: a schedule that would dissolve the seed is an error"),
	}
}

// point is a place on the top face, the middle where it is not given.
func point(key, means string) strict.Field {
	return strict.Number(key, strict.Between(-1000, 1000), means).List(2, 2).Or([]float64{0, 0})
}

func arrayFields() []strict.Field {
	const at = "seed_array.#."
	kind := func(names ...string) strict.Condition { return strict.Is("kind", names...) }
	return append([]strict.Field{
		strict.Text(at+"kind", "how the seeds are laid out", "ring", "grid", "row").Must(),
		point(at+"at_mm", "x, y of the centre of the array"),
		strict.Number(at+"count", strict.Between(1, 10000), "number of seeds").Whole().Beside(kind("ring", "row")).Must(),
		strict.Number(at+"radius_mm", length(), "radius of the circle on which the centres lie, the first towards +x").
			Beside(kind("ring")).Must(),
		strict.Text(at+"turn", "radial turns each seed with its place on the circle", "radial", "parallel").
			Beside(kind("ring")).Or("parallel"),
		strict.Number(at+"rows", strict.Between(1, 1000), "seeds along y").Whole().Beside(kind("grid")).Must(),
		strict.Number(at+"columns", strict.Between(1, 1000), "seeds along x").Whole().Beside(kind("grid")).Must(),
		strict.Number(at+"pitch_mm", strict.Between(-1000, 1000),
			"grid: distance along x and along y; row: step from seed to seed, [x, y]").List(2, 2).
			Beside(kind("grid", "row")).Must(),
	}, placed(at)...)
}
