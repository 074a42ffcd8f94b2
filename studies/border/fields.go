package border

import (
	"slices"

	"onegrain/studies/laws"
	"onegrain/studies/layout"
	"onegrain/studies/strict"
)

// Fields are the keys of a study that decide what happens in the furnace. A # stands for an array
// element.
func Fields() strict.Schema {
	return slices.Concat(laws.MaterialFields(), layout.Fields(), scheduleFields(), laws.NucleationFields())
}

// Sections are the top-level keys of Fields: together they decide a case and nothing else does.
func Sections() []string {
	return []string{"material", "body", "seed", "seed_array", "schedule", "gradient", "nucleation", "domain"}
}

func scheduleFields() []strict.Field {
	const stage, file = "schedule.stage.#.", "schedule.file"
	return []strict.Field{
		strict.Text(file, "a controller's record beside the study, in place of start_C and stages: CSV with time_h and "+
			"temperature_C"),
		strict.Number("schedule.tolerance_K", strict.Above(0).UpTo(50),
			"no reading lies further from the straight pieces made of the record").Or(0.1).Beside(strict.Without(file).Not()),
		strict.Number("schedule.start_C", strict.Between(-50, 1500), "temperature at the start").Or(25.0).
			Beside(strict.Without(file)),
		strict.Number(stage+"to_C", strict.Between(-50, 1500), "ramp to this temperature"),
		strict.Number(stage+"to_undercooling_K", strict.Between(-500, 500),
			"ramp to this undercooling; negative is above the peritectic temperature"),
		strict.Number(stage+"rate_K_per_h", strict.Above(0).UpTo(100000),
			"speed of the ramp; its direction follows from the target").Beside(strict.Without("hold_h")).Must(),
		strict.Number(stage+"hold_h", strict.Between(0, 100000), "stay at the temperature reached"),
	}
}
