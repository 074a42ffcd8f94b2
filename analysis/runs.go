package analysis

import (
	"math"

	"onegrain/analysis/joints"
	"onegrain/analysis/tally"
	"onegrain/analysis/window"
	"onegrain/studies/table"
)

// runs has a few numbers of each run, taken while the rows go by.
type runs struct {
	cases   map[string]int
	number  map[runKey]int // of a run in all, and in joints
	all     []run
	foreign map[foreign]bool
	joints  *joints.Collector
	alike   []bool // of each case: see joints.Collector.Run
}

type runKey struct{ of, replicate int32 }

// foreign is a run of no case of the study.
type foreign struct {
	id        string
	replicate float64
}

// run is what is taken of one run. A failed one has no numbers.
type run struct {
	runKey
	status           byte // 's', 'l', 'f'
	single           bool
	diameter, strayK float64
	wallS            float64
	files            [2]int32 // numbers, from 1, of those that had its grains and its boundaries
}

func newRuns(s window.Study, c *joints.Collector, alike []bool) *runs {
	r := &runs{cases: map[string]int{}, number: map[runKey]int{}, foreign: map[foreign]bool{}, joints: c, alike: alike}
	for i, c := range s.Cases {
		r.cases[c.ID] = i
	}
	return r
}

// read reads the table of runs. Of a run that is there twice the first counts, but never one that
// failed before one that was done.
func (r *runs) read(f *table.Folder) error {
	names := []string{"case_id", "replicate", "status", "single_grain", "clear_diameter_mm", "first_stray_undercooling_K",
		"wall_s"}
	return f.Each("runs", names, func(_ string, rows *table.Frame) error {
		c := columnsOf(rows)
		ids, status := c.texts("case_id"), c.texts("status")
		if c.err != nil {
			return c.err
		}
		for i, id := range ids {
			replicate := c.reals("replicate")[i]
			of, mine := r.cases[id]
			if !mine {
				r.foreign[foreign{id, replicate}] = true
				continue
			}
			one := run{
				runKey: runKey{int32(of), int32(replicate)}, status: status[i][0], single: c.reals("single_grain")[i] == 1,
				diameter: c.reals("clear_diameter_mm")[i], strayK: c.reals("first_stray_undercooling_K")[i],
				wallS: c.reals("wall_s")[i],
			}
			at, known := r.number[one.runKey]
			switch {
			case !known:
				r.number[one.runKey] = r.joints.Run(of, r.alike[of])
				r.all = append(r.all, one)
			case r.all[at].status == 'f' && one.status != 'f':
				r.all[at] = one
			}
		}
		return c.err
	})
}

// detail is a table with several rows of each run.
type detail struct {
	name    string
	columns []string
	note    func(c *columns, run, row int)
}

// details hands over the rows of grains, then those of boundaries, of runs that are known, each run
// from the first file alone that has it.
func (r *runs) details(f *table.Folder) error {
	for which, d := range [...]detail{
		{"grains", []string{"origin", "volume_mm3", "domain"}, func(c *columns, run, row int) {
			seeded, domain := c.texts("origin")[row] == "seed", whole(c.reals("domain")[row])
			r.joints.Grain(run, seeded, c.reals("volume_mm3")[row], domain)
		}},
		{"boundaries", []string{"grain_1", "grain_2", "area_mm2", "disorientation_deg", "c_axis_angle_deg", "low_angle"},
			func(c *columns, run, row int) {
				r.joints.Boundary(run, joints.Contact{
					Grain1: whole(c.reals("grain_1")[row]), Grain2: whole(c.reals("grain_2")[row]),
					AreaMM2: c.reals("area_mm2")[row], AngleDeg: c.reals("disorientation_deg")[row],
					CAxisDeg: c.reals("c_axis_angle_deg")[row], LowAngle: c.reals("low_angle")[row] == 1,
				})
			}},
	} {
		file := int32(0)
		err := f.Each(d.name, append([]string{"case_id", "replicate"}, d.columns...),
			func(_ string, rows *table.Frame) error {
				file++
				c := columnsOf(rows)
				for row, id := range c.texts("case_id") {
					of, mine := r.cases[id]
					at, known := r.number[runKey{int32(of), int32(c.reals("replicate")[row])}]
					if !mine || !known {
						continue
					}
					first := &r.all[at].files[which]
					if *first == 0 {
						*first = file
					}
					if *first == file {
						d.note(c, at, row)
					}
				}
				return c.err
			})
		if err != nil {
			return err
		}
	}
	return nil
}

// first is the run of a case with the lowest replicate that was done; −1 for none.
func (r *runs) first(of int) (number, replicate int) {
	number = -1
	for i, one := range r.all {
		if int(one.of) == of && one.status != 'f' && (number < 0 || int(one.replicate) < replicate) {
			number, replicate = i, int(one.replicate)
		}
	}
	return number, replicate
}

func (r *runs) total() Runs {
	t := Runs{Total: len(r.all), Foreign: len(r.foreign)}
	var diameters []float64
	for _, one := range r.all {
		switch one.status {
		case 's':
			t.Solid++
		case 'l':
			t.Liquid++
		default:
			t.Failed++
		}
		if one.single {
			t.Single++
		}
		if !math.IsNaN(one.wallS) {
			t.WallH += one.wallS / 3600
		}
		diameters = append(diameters, one.diameter)
	}
	t.DiameterMM = spread(diameters)
	return t
}

// spread has bins from 0 to the largest value, rounded up to a whole number.
func spread(values []float64) tally.Spread {
	high := 0.0
	for _, x := range values {
		if x > high {
			high = x
		}
	}
	return tally.SpreadOf(values, 0, math.Ceil(high), 20)
}

func (r *runs) perCase(s window.Study) []CaseRuns {
	diameters, strays := make([][]float64, len(s.Cases)), make([][]float64, len(s.Cases))
	for _, one := range r.all {
		diameters[one.of] = append(diameters[one.of], one.diameter)
		if !math.IsNaN(one.strayK) {
			strays[one.of] = append(strays[one.of], one.strayK)
		}
	}
	all := make([]CaseRuns, len(s.Cases))
	for i, c := range s.Cases {
		all[i] = CaseRuns{ID: c.ID, Settings: setting(s.Axes, c.At), WithStrays: len(strays[i]),
			DiameterMM: spread(diameters[i]), StrayAtK: spread(strays[i])}
	}
	return all
}
