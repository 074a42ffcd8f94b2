package run

import (
	"cmp"
	"slices"
	"sync"
	"time"

	"onegrain/sim/measure"
	"onegrain/studies"
	"onegrain/studies/table"
)

// record is what one replicate has to say, row by row, without the columns that name the run.
type record struct {
	index, replicate          int
	id                        string
	run                       []any
	grains, boundary, moments [][]any
}

// ledger gathers records and writes them as parts. A run counts as done once its row in runs is on the disk, so that table
// is written last.
type ledger struct {
	folder  *table.Folder
	schemas map[string]table.Schema

	mu      sync.Mutex
	pending []record
}

func newLedger(s *studies.Study, folder *table.Folder) (*ledger, error) {
	l := &ledger{folder: folder, schemas: map[string]table.Schema{}}
	for _, name := range tables() {
		schema, err := table.Of(name, varied(s))
		if err != nil {
			return nil, err
		}
		l.schemas[name] = schema
	}
	return l, nil
}

func tables() []string { return []string{"runs", "cases", "grains", "boundaries", "history"} }

// complete gives every table of a finished study a file, so that readers of boundaries/*.parquet find one even where no two
// grains touch.
func (l *ledger) complete() error {
	for _, name := range tables() {
		if err := l.folder.Complete(l.schemas[name]); err != nil {
			return err
		}
	}
	return nil
}

// varied are the columns of a study as the tables describe them.
func varied(s *studies.Study) []table.Column {
	var out []table.Column
	for _, c := range s.Columns() {
		col := table.Column{Name: c.Name, Unit: ucum(c.Unit), Means: c.Means}
		switch c.Kind.(type) {
		case int64:
			col.Kind = table.Int
		case string:
			col.Kind = table.Text
		case bool:
			col.Kind = table.Flag
		default:
			col.Kind = table.Real
		}
		out = append(out, col)
	}
	return out
}

// ucum is the UCUM code of a unit as the study's keys write it.
func ucum(unit string) string {
	code, ok := map[string]string{"": "1", "°": "deg", "°C": "Cel", "K³": "K3", "1/(mm³ h)": "1/(mm3.h)", "1/(mm² h)": "1/(mm2.h)", "1/mm³": "1/mm3", "1/mm²": "1/mm2"}[unit]
	if !ok {
		return unit
	}
	return code
}

// add takes a record and writes a part when enough have come together.
func (l *ledger) add(r record) error {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.pending = append(l.pending, r)
	if len(l.pending) < studies.FlushRuns {
		return nil
	}
	return l.write()
}

// flush writes what is there.
func (l *ledger) flush() error {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.write()
}

// write orders the pending records by case and replicate, whatever worker was first, and publishes them.
func (l *ledger) write() error {
	slices.SortFunc(l.pending, func(a, b record) int {
		return cmp.Or(cmp.Compare(a.index, b.index), cmp.Compare(a.replicate, b.replicate))
	})
	for _, t := range []struct {
		name string
		rows func(r record) [][]any
	}{
		{"grains", func(r record) [][]any { return r.grains }},
		{"boundaries", func(r record) [][]any { return r.boundary }},
		{"history", func(r record) [][]any { return r.moments }},
		{"runs", func(r record) [][]any { return [][]any{r.run} }},
	} {
		f := l.schemas[t.name].Frame()
		for _, r := range l.pending {
			for _, row := range t.rows(r) {
				if err := f.Append(append([]any{r.id, r.replicate}, row...)...); err != nil {
					return err
				}
			}
		}
		if _, err := l.folder.Add(f); err != nil {
			return err
		}
	}
	l.pending = l.pending[:0]
	return nil
}

// recorded measures a finished run.
func recorded(p studies.Planned, replicate int, s *measure.Survey, wall time.Duration) (record, measure.Run) {
	m := s.Run()
	r := record{index: p.Index, replicate: replicate, id: p.ID}
	status := "liquid"
	if m.SolidFraction == 1 {
		status = "solid"
	}
	r.run = runRow(p, status, &m, wall)
	r.grains = grainRows(s.Grains())
	for _, b := range s.Boundaries() {
		r.boundary = append(r.boundary, []any{b.Grain1 + 1, b.Grain2 + 1, b.AreaMM2, b.DisorientationDeg, b.CAxisAngleDeg, b.LowAngle})
	}
	if p.Study.History {
		for _, h := range s.History() {
			r.moments = append(r.moments, []any{h.TimeH, p.PeritecticC() - h.UndercoolingK, h.UndercoolingK, h.HalfWidthAMM, h.HalfWidthCMM, h.SolidFraction, h.Nuclei})
		}
	}
	return r, m
}

func runRow(p studies.Planned, status string, m *measure.Run, wall time.Duration) []any {
	row := append([]any{}, p.Values...)
	return append(row, status, m.SingleGrain, m.ClearDiameterMM, m.ClearSquareMM, m.ClearVolumeMM3, m.SolidFraction, m.StrayGrains, m.StrayVolumeFraction,
		m.FirstStrayH, m.FirstStrayUndercoolingK, m.GrainWidthAtFirstStrayMM, m.TimeToFullH, m.SectorAFraction, m.SectorCFraction, wall.Seconds())
}

// failedRow is the row of a run that came to nothing.
func (l *ledger) failedRow(p studies.Planned, replicate int) record {
	row := append(append([]any{}, p.Values...), "failed")
	for len(row)+2 < len(l.schemas["runs"].Columns) {
		row = append(row, nil)
	}
	return record{index: p.Index, replicate: replicate, id: p.ID, run: row}
}

// grainRows numbers the domains by size, the largest 1.
func grainRows(grains []measure.Grain) [][]any {
	volume := map[int]float64{}
	for _, g := range grains {
		volume[g.Domain] += g.VolumeMM3
	}
	var rows [][]any
	for i, g := range grains {
		var domain any
		if g.Domain >= 0 {
			rank := 1
			for d, v := range volume {
				if d >= 0 && (v > volume[g.Domain] || v == volume[g.Domain] && d < g.Domain) {
					rank++
				}
			}
			domain = rank
		}
		q := g.Orientation
		row := []any{i + 1, g.Origin.String(), g.BornH, g.BornUndercoolingK, g.AtMM[0], g.AtMM[1], g.AtMM[2], q.W, q.X, q.Y, q.Z, g.VolumeMM3}
		for _, v := range g.SectorMM3 {
			row = append(row, v)
		}
		rows = append(rows, append(row, g.DisorientationDeg, domain))
	}
	return rows
}
