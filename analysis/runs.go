package analysis

import (
	"math"

	"onegrain/analysis/joints"
	"onegrain/analysis/tally"
	"onegrain/analysis/window"
	"onegrain/studies/table"
)

// keeper keeps a few numbers of each run while the rows go by.
type keeper struct {
	cases map[string]int
	runs  map[runKey]int // number of the run
	kept  []kept
	other map[foreign]bool
	book  *joints.Book
	alike []bool // of each case: see joints.Book.Run
}

type runKey struct{ of, replicate int32 }

// foreign is a run of no case of the study.
type foreign struct {
	id        string
	replicate float64
}

// kept is what is kept of one run.
type kept struct {
	of, replicate    int32
	status           byte // 's', 'l', 'f'
	single           bool
	diameter, strayK float64
	wallS            float64
	grains, joins    int32 // number of the file that told its grains and its boundaries, from 1
}

func newKeeper(s window.Study, book *joints.Book, alike []bool) *keeper {
	k := &keeper{alike: alike, cases: map[string]int{}, runs: map[runKey]int{}, book: book}
	for i, c := range s.Cases {
		k.cases[c.ID] = i
	}
	return k
}

func realOf(x float64) tally.Real { return tally.Real(x) }

// reader hands out the columns of a part; the first error stays.
type reader struct {
	rows *table.Frame
	err  error
}

func (r *reader) reals(name string) []float64 {
	x, err := r.rows.Reals(name)
	if err != nil && r.err == nil {
		r.err = err
	}
	return x
}

func (r *reader) texts(name string) []string {
	x, err := r.rows.Texts(name)
	if err != nil && r.err == nil {
		r.err = err
	}
	return x
}

// readRuns reads the table of runs. Of a run told twice the first counts, but never one that failed
// before one that was done.
func (k *keeper) readRuns(f *table.Folder) error {
	columns := []string{"case_id", "replicate", "status", "single_grain", "clear_diameter_mm", "first_stray_undercooling_K", "wall_s"}
	k.other = map[foreign]bool{}
	return f.Each("runs", columns, func(_ string, rows *table.Frame) error {
		r := &reader{rows: rows}
		ids, replicates, statuses := r.texts("case_id"), r.reals("replicate"), r.texts("status")
		single, diameter, strayK, wall := r.reals("single_grain"), r.reals("clear_diameter_mm"), r.reals("first_stray_undercooling_K"), r.reals("wall_s")
		if r.err != nil {
			return r.err
		}
		for i, id := range ids {
			of, mine := k.cases[id]
			if !mine {
				k.other[foreign{id, replicates[i]}] = true
				continue
			}
			one := kept{of: int32(of), replicate: int32(replicates[i]), status: statuses[i][0], single: single[i] == 1, diameter: diameter[i], strayK: strayK[i], wallS: wall[i]}
			key := runKey{one.of, one.replicate}
			at, known := k.runs[key]
			switch {
			case !known:
				k.runs[key] = k.book.Run(of, k.alike[of])
				k.kept = append(k.kept, one)
			case k.kept[at].status == 'f' && one.status != 'f':
				k.kept[at] = one
			}
		}
		return nil
	})
}

// rows goes through a table that has rows of runs, and hands over those of runs that are known,
// each run from the first file that tells of it alone.
func (k *keeper) rows(f *table.Folder, name string, columns []string, from func(*kept) *int32, visit func(r *reader) func(run, row int)) error {
	file := int32(0)
	return f.Each(name, append([]string{"case_id", "replicate"}, columns...), func(_ string, rows *table.Frame) error {
		file++
		r := &reader{rows: rows}
		ids, replicates := r.texts("case_id"), r.reals("replicate")
		each := visit(r)
		if r.err != nil {
			return r.err
		}
		for row, id := range ids {
			of, mine := k.cases[id]
			if !mine {
				continue
			}
			run, known := k.runs[runKey{int32(of), int32(replicates[row])}]
			if !known {
				continue
			}
			told := from(&k.kept[run])
			if *told == 0 {
				*told = file
			}
			if *told == file {
				each(run, row)
			}
		}
		return nil
	})
}

func (k *keeper) readGrains(f *table.Folder) error {
	return k.rows(f, "grains", []string{"origin", "volume_mm3", "domain"}, func(r *kept) *int32 { return &r.grains }, func(r *reader) func(int, int) {
		origin, volume, domain := r.texts("origin"), r.reals("volume_mm3"), r.reals("domain")
		return func(run, row int) { k.book.Grain(run, origin[row] == "seed", volume[row], whole(domain[row])) }
	})
}

func (k *keeper) readBoundaries(f *table.Folder) error {
	columns := []string{"grain_1", "grain_2", "area_mm2", "disorientation_deg", "c_axis_angle_deg", "low_angle"}
	return k.rows(f, "boundaries", columns, func(r *kept) *int32 { return &r.joins }, func(r *reader) func(int, int) {
		a, b, area, angle, axis, low := r.reals(columns[0]), r.reals(columns[1]), r.reals(columns[2]), r.reals(columns[3]), r.reals(columns[4]), r.reals(columns[5])
		return func(run, row int) {
			k.book.Boundary(run, joints.Contact{Grain1: whole(a[row]), Grain2: whole(b[row]), AreaMM2: area[row], AngleDeg: angle[row], CAxisDeg: axis[row], LowAngle: low[row] == 1})
		}
	})
}

// first is the run of a case with the lowest replicate that was done; −1 for none.
func (k *keeper) first(of int) (run, replicate int) {
	run = -1
	for i, r := range k.kept {
		if int(r.of) == of && r.status != 'f' && (run < 0 || int(r.replicate) < replicate) {
			run, replicate = i, int(r.replicate)
		}
	}
	return run, replicate
}

func (k *keeper) total() Runs {
	t := Runs{Total: len(k.kept), Foreign: len(k.other)}
	var diameters []float64
	for _, r := range k.kept {
		switch r.status {
		case 's':
			t.Solid++
		case 'l':
			t.Liquid++
		default:
			t.Failed++
		}
		if r.single {
			t.Single++
		}
		if !math.IsNaN(r.wallS) {
			t.WallH += r.wallS / 3600
		}
		diameters = append(diameters, r.diameter)
	}
	t.DiameterMM = tally.SpreadOf(diameters, 0, widest(diameters), 20)
	return t
}

// widest is the upper end of a histogram: the largest value, rounded up to a whole number.
func widest(values []float64) (high float64) {
	for _, x := range values {
		if x > high {
			high = x
		}
	}
	return math.Ceil(high)
}

func (k *keeper) perCase(s window.Study) []CaseRuns {
	diameters, strays := make([][]float64, len(s.Cases)), make([][]float64, len(s.Cases))
	all := make([]CaseRuns, len(s.Cases))
	for _, r := range k.kept {
		diameters[r.of] = append(diameters[r.of], r.diameter)
		if !math.IsNaN(r.strayK) {
			strays[r.of] = append(strays[r.of], r.strayK)
			all[r.of].WithStrays++
		}
	}
	for i, c := range s.Cases {
		all[i].ID, all[i].Settings = c.ID, settings(s, i)
		all[i].DiameterMM = tally.SpreadOf(diameters[i], 0, widest(diameters[i]), 20)
		all[i].StrayAtK = tally.SpreadOf(strays[i], 0, widest(strays[i]), 20)
	}
	return all
}
