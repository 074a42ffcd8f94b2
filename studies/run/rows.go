package run

import (
	"cmp"
	"slices"
	"sync"
	"time"

	"onegrain/sim/measure"
	"onegrain/studies"
	"onegrain/studies/column"
	"onegrain/studies/table"
)

// record is what one replicate has to say: the rows of each table.
type record struct {
	studies.Planned
	replicate int
	rows      map[string][]any
}

// ledger gathers records and writes them as parts. A run counts as done once its row in runs is on
// the disk, so that table is written last.
type ledger struct {
	folder  *table.Folder
	schemas map[string]column.Schema

	mu      sync.Mutex
	pending []record
}

func newLedger(s *studies.Study, folder *table.Folder) (*ledger, error) {
	l := &ledger{folder: folder, schemas: map[string]column.Schema{}}
	for _, name := range column.Tables() {
		schema, err := column.Of(name, s.Columns())
		if err != nil {
			return nil, err
		}
		l.schemas[name] = schema
	}
	return l, nil
}

// complete gives every table of a finished study a file, so that readers of boundaries/*.parquet
// find one even where no two grains touch.
func (l *ledger) complete() error {
	for _, name := range column.Tables() {
		if err := l.folder.Complete(l.schemas[name]); err != nil {
			return err
		}
	}
	return nil
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

// write orders the pending records by case and replicate, whatever worker was first, and publishes
// them.
func (l *ledger) write() error {
	slices.SortFunc(l.pending, func(a, b record) int {
		return cmp.Or(cmp.Compare(a.Index, b.Index), cmp.Compare(a.replicate, b.replicate))
	})
	for _, name := range []string{"grains", "boundaries", "history", "runs"} {
		schema := l.schemas[name]
		f := table.NewFrame(schema)
		for _, r := range l.pending {
			for _, row := range r.rows[name] {
				if err := f.Append(schema.Row(r.ID, r.replicate, r.Values, row)...); err != nil {
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
	status := "liquid"
	if m.SolidFraction == 1 {
		status = "solid"
	}
	rows := map[string][]any{
		"runs":   {&column.Run{Status: status, Measured: m, WallS: wall.Seconds()}},
		"grains": grainRows(s.Grains()),
	}
	for _, b := range s.Boundaries() {
		b.Grain1, b.Grain2 = b.Grain1+1, b.Grain2+1 // a table counts from 1
		rows["boundaries"] = append(rows["boundaries"], (*column.Boundary)(&b))
	}
	if peritectic := p.PeritecticC(); p.Study.History {
		for _, h := range s.History() {
			rows["history"] = append(rows["history"], &column.Moment{TemperatureC: peritectic - h.UndercoolingK, Measured: h})
		}
	}
	return record{p, replicate, rows}, m
}

// grainRows numbers the domains by size, the largest 1.
func grainRows(grains []measure.Grain) []any {
	volume := map[int]float64{}
	for _, g := range grains {
		volume[g.Domain] += g.VolumeMM3
	}
	var rows []any
	for i, g := range grains {
		domain := 0
		if g.Domain >= 0 {
			domain = 1
			for d, v := range volume {
				if d >= 0 && (v > volume[g.Domain] || v == volume[g.Domain] && d < g.Domain) {
					domain++
				}
			}
		}
		rows = append(rows, &column.Grain{
			Grain: i + 1, Origin: g.Origin.String(), BornH: g.BornH, BornUndercoolingK: g.BornUndercoolingK,
			AtMM: g.AtMM, Orientation: g.Orientation, VolumeMM3: g.VolumeMM3, SectorMM3: g.SectorMM3,
			DisorientationDeg: g.DisorientationDeg, Domain: domain,
		})
	}
	return rows
}
