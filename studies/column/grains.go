package column

// Grain is a row of grains.
type Grain struct {
	Grain             int    // from 1
	Origin            string // seed, melt, top, side or bottom
	BornH             float64
	BornUndercoolingK float64
	AtMM              [3]float64 // x, y, z
	Orientation       struct{ W, X, Y, Z float64 }
	VolumeMM3         float64
	SectorMM3         [6]float64 // +a, −a, +b, −b, +c, −c
	DisorientationDeg float64    // NaN without a seed
	Domain            int        // from 1, the largest first; 0 for strays
}

func grains() []line {
	return []line{
		always("grain", "1", "number of the grain in its run, from 1 (in the volumes from 0): "+
			"seeded grains first, then strays by birth",
			func(g *Grain) int { return g.Grain }),
		always("origin", "", "seed, melt, top, side or bottom", func(g *Grain) string { return g.Origin }),
		always("born_h", "h", "start of growth, from the start of the programme", func(g *Grain) float64 { return g.BornH }),
		always("born_undercooling_K", "K", "undercooling at its place then",
			func(g *Grain) float64 { return g.BornUndercoolingK }),
		always("x_mm", "mm", "where it was born; the axis of the body is x = y = 0",
			func(g *Grain) float64 { return g.AtMM[0] }),
		always("y_mm", "mm", "the same along y", func(g *Grain) float64 { return g.AtMM[1] }),
		always("z_mm", "mm", "height above the bottom of the body", func(g *Grain) float64 { return g.AtMM[2] }),
		always("orientation_w", "1", "unit quaternion from the crystal's a, b, c to the body's x, y, z: scalar part",
			func(g *Grain) float64 { return g.Orientation.W }),
		always("orientation_x", "1", "its x part", func(g *Grain) float64 { return g.Orientation.X }),
		always("orientation_y", "1", "its y part", func(g *Grain) float64 { return g.Orientation.Y }),
		always("orientation_z", "1", "its z part", func(g *Grain) float64 { return g.Orientation.Z }),
		always("volume_mm3", "mm3", "volume of the grain", func(g *Grain) float64 { return g.VolumeMM3 }),
		always("sector_a_plus_mm3", "mm3", "part of it grown by the +a face",
			func(g *Grain) float64 { return g.SectorMM3[0] }),
		always("sector_a_minus_mm3", "mm3", "by the -a face", func(g *Grain) float64 { return g.SectorMM3[1] }),
		always("sector_b_plus_mm3", "mm3", "by the +b face", func(g *Grain) float64 { return g.SectorMM3[2] }),
		always("sector_b_minus_mm3", "mm3", "by the -b face", func(g *Grain) float64 { return g.SectorMM3[3] }),
		always("sector_c_plus_mm3", "mm3", "by the +c face", func(g *Grain) float64 { return g.SectorMM3[4] }),
		always("sector_c_minus_mm3", "mm3", "by the -c face", func(g *Grain) float64 { return g.SectorMM3[5] }),
		maybe("disorientation_deg", "deg", "from the first seed, crystal symmetry 422; empty without a seed",
			func(g *Grain) float64 { return g.DisorientationDeg }),
		nonzero("domain", "1", "the domain it belongs to, from 1, the largest first; empty for strays",
			func(g *Grain) int { return g.Domain }),
	}
}

// Boundary is a row of boundaries, a measure.Boundary as it is.
type Boundary struct {
	Grain1, Grain2    int // from 0, Grain1 < Grain2
	AreaMM2           float64
	DisorientationDeg float64
	CAxisAngleDeg     float64
	LowAngle          bool
}

func boundaries() []line {
	return []line{
		always("grain_1", "1", "number of one grain", func(b *Boundary) int { return b.Grain1 + 1 }),
		always("grain_2", "1", "number of the grain it touches, larger than grain_1",
			func(b *Boundary) int { return b.Grain2 + 1 }),
		always("area_mm2", "mm2", "area of the common boundary", func(b *Boundary) float64 { return b.AreaMM2 }),
		always("disorientation_deg", "deg", "between the two, crystal symmetry 422",
			func(b *Boundary) float64 { return b.DisorientationDeg }),
		always("c_axis_angle_deg", "deg", "between their c axes, 0 to 90",
			func(b *Boundary) float64 { return b.CAxisAngleDeg }),
		always("low_angle", "", "disorientation within domain.join_deg of the study, whatever the origin of the two",
			func(b *Boundary) bool { return b.LowAngle }),
	}
}
