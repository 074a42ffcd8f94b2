package table

// layout of a table: the first `keys` columns say of which run a row tells; varied columns follow them where `varied`.
type layout struct {
	name    string
	varied  bool
	keys    int
	columns []Column
}

// tables lists every column of every table. A column is only ever added, and then may be empty, so that files of an
// older version can still be read. In a plane volumes and areas are those of body.thickness_mm; without
// it of 1 mm, so that mm³ reads as mm², mm² as mm.
func tables() []layout {
	return []layout{
		{"runs", true, 2, runs()},
		{"cases", true, 1, cases()},
		{"grains", false, 2, grains()},
		{"boundaries", false, 2, boundaries()},
		{"history", false, 2, history()},
	}
}

func caseID() Column {
	return Column{"case_id", Text, false, "", "first 16 hex digits of the SHA-256 of the physics of the case"}
}

func replicate() Column {
	return Column{"replicate", Int, false, "1", "run of the case, from 1"}
}

func runs() []Column {
	return []Column{
		caseID(), replicate(),
		{"status", Text, false, "", "solid; liquid (the programme ended before the body was solid); failed (see failures.jsonl)"},
		{"single_grain", Flag, true, "", "one domain fills the body and no stray exists"},
		{"clear_diameter_mm", Real, true, "mm", "largest disc of the clear columns of the largest domain"},
		{"clear_square_mm", Real, true, "mm", "side of the largest square of them along the grain's own a and b"},
		{"clear_volume_mm3", Real, true, "mm3", "volume of them"},
		{"solid_fraction", Real, true, "1", "solid share of the body at the end of the programme"},
		{"stray_grains", Int, true, "1", "grains of spontaneous origin"},
		{"stray_volume_fraction", Real, true, "1", "their share of the body"},
		{"first_stray_h", Real, true, "h", "birth of the first stray, from the start of the programme; empty without strays"},
		{"first_stray_undercooling_K", Real, true, "K", "undercooling at its place when it was born"},
		{"grain_width_at_first_stray_mm", Real, true, "mm", "full width of the first seeded grain at that time, at most that of the body"},
		{"time_to_full_h", Real, true, "h", "when the last cell became solid, from the start of the programme; empty if liquid is left"},
		{"sector_a_fraction", Real, true, "1", "share of the seeded grains that the {100} and {010} faces grew"},
		{"sector_c_fraction", Real, true, "1", "share of them that the {001} faces grew"},
		{"wall_s", Real, true, "s", "time the computation took"},
	}
}

func cases() []Column {
	return []Column{
		caseID(),
		{"runs", Int, false, "1", "runs counted"},
		{"single_grain_runs", Int, false, "1", "those that ended as a single grain"},
		{"single_grain_fraction", Real, true, "1", "counted share"},
		{"single_grain_fraction_low", Real, true, "1", "lower end of its 95 % interval (Clopper-Pearson; with random.precision that of 96.5 %, which holds 95 % in spite of stopping early)"},
		{"single_grain_fraction_high", Real, true, "1", "upper end of it"},
		{"single_grain_probability_exact", Real, true, "1", "chance of a single grain without dice; with placing scatter the mean over placings of the seeds"},
		{"expected_strays_exact", Real, true, "1", "expected number of strays before the first one changes anything"},
		{"clear_diameter_mm_median", Real, true, "mm", "median of the runs' clear diameters"},
		{"clear_diameter_mm_p10", Real, true, "mm", "one run in ten has less"},
		{"clear_diameter_mm_p90", Real, true, "mm", "one run in ten has more"},
		{"time_to_full_h", Real, true, "h", "median of the runs that became solid, from the start of the programme"},
		{"programme_h", Real, true, "h", "length of the furnace programme"},
		{"stopped_by", Text, false, "", "replicates (all done), precision (the interval was narrow enough), or what kept the case from being finished"},
		{"design_points", Text, true, "", "where the case stands in a latin or sobol design, from 1; in a saltelli design A1, B1 or AB1.2: row 1 of sample A with its second varied column from B; several are parted by blanks"},
		{"placings", Int, true, "1", "placings of the seeds that the exact chance is the mean of: those of the runs counted, or the first ones where none are; empty without placing scatter"},
		{"single_grain_probability_exact_se", Real, true, "1", "standard error of that mean; empty without placing scatter, and of one placing"},
		{"never_because", Text, true, "", "why even without strays it can be no single grain, where that is so: unseeded; liquid (some is left when the programme ends); apart (the seeded grains do not join to one domain)"},
	}
}

func grains() []Column {
	return []Column{
		caseID(), replicate(),
		{"grain", Int, false, "1", "number of the grain in its run, from 1 (in the volumes from 0): seeded grains first, then strays by birth"},
		{"origin", Text, false, "", "seed, melt, top, side or bottom"},
		{"born_h", Real, false, "h", "start of growth, from the start of the programme"},
		{"born_undercooling_K", Real, false, "K", "undercooling at its place then"},
		{"x_mm", Real, false, "mm", "where it was born; the axis of the body is x = y = 0"},
		{"y_mm", Real, false, "mm", "the same along y"},
		{"z_mm", Real, false, "mm", "height above the bottom of the body"},
		{"orientation_w", Real, false, "1", "unit quaternion from the crystal's a, b, c to the body's x, y, z: scalar part"},
		{"orientation_x", Real, false, "1", "its x part"},
		{"orientation_y", Real, false, "1", "its y part"},
		{"orientation_z", Real, false, "1", "its z part"},
		{"volume_mm3", Real, false, "mm3", "volume of the grain"},
		{"sector_a_plus_mm3", Real, false, "mm3", "part of it grown by the +a face"},
		{"sector_a_minus_mm3", Real, false, "mm3", "by the -a face"},
		{"sector_b_plus_mm3", Real, false, "mm3", "by the +b face"},
		{"sector_b_minus_mm3", Real, false, "mm3", "by the -b face"},
		{"sector_c_plus_mm3", Real, false, "mm3", "by the +c face"},
		{"sector_c_minus_mm3", Real, false, "mm3", "by the -c face"},
		{"disorientation_deg", Real, true, "deg", "from the first seed, crystal symmetry 422; empty without a seed"},
		{"domain", Int, true, "1", "the domain it belongs to, from 1, the largest first; empty for strays"},
	}
}

func boundaries() []Column {
	return []Column{
		caseID(), replicate(),
		{"grain_1", Int, false, "1", "number of one grain"},
		{"grain_2", Int, false, "1", "number of the grain it touches, larger than grain_1"},
		{"area_mm2", Real, false, "mm2", "area of the common boundary"},
		{"disorientation_deg", Real, false, "deg", "between the two, crystal symmetry 422"},
		{"c_axis_angle_deg", Real, false, "deg", "between their c axes, 0 to 90"},
		{"low_angle", Flag, false, "", "disorientation within domain.join_deg of the study, whatever the origin of the two"},
	}
}

func history() []Column {
	return []Column{
		caseID(), replicate(),
		{"time_h", Real, false, "h", "from the start of the programme"},
		{"temperature_C", Real, false, "Cel", "of the programme"},
		{"undercooling_K", Real, false, "K", "of the programme; negative above the peritectic"},
		{"half_width_a_mm", Real, true, "mm", "of the first seeded grain, free of walls; empty without a seed"},
		{"half_width_c_mm", Real, true, "mm", "its grown height"},
		{"solid_fraction", Real, false, "1", "solid share of the body"},
		{"nuclei", Int, false, "1", "strays born so far"},
	}
}
