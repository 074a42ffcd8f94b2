package run

import "onegrain/studies/table"

// save writes what has come together: the runs, then the table of cases, so that no row of it counts runs that are not on the disk.
func (r *Runner) save(complete bool) error {
	r.writing.Lock()
	defer r.writing.Unlock()
	r.mu.Lock()
	cases, err := r.caseRows(complete)
	r.mu.Unlock()
	if err != nil {
		return err
	}
	return r.publish(cases)
}

func (r *Runner) publish(cases *table.Frame) error {
	if err := r.ledger.flush(); err != nil {
		return err
	}
	if r.Shards > 1 {
		_, err := r.Folder.Add(cases)
		return err
	}
	return r.Folder.Put(cases)
}

// caseRows are the rows to be written now. A shard knows its own cases only and adds each once, as soon as it is finished, so that its row
// is the same whoever writes it; else the table is written anew.
func (r *Runner) caseRows(complete bool) (*table.Frame, error) {
	f := table.NewFrame(r.ledger.schemas["cases"])
	for _, s := range r.order {
		if r.Shards > 1 && !s.fresh {
			continue
		}
		s.fresh = false
		if err := f.Append(f.Schema.Row(s.ID, 0, s.Values, s.row())...); err != nil {
			return nil, err
		}
	}
	if !complete && r.Shards <= 1 {
		r.inherit(f)
	}
	return f, nil
}

// inherit takes the rows of cases that this command has not come to from the table an earlier one has left.
func (r *Runner) inherit(f *table.Frame) {
	mine := map[any]bool{}
	for _, s := range r.order {
		mine[s.ID] = true
	}
	for row := range r.old.Len() {
		if mine[r.old.Value(row, "case_id")] {
			continue
		}
		var values []any
		for _, c := range f.Schema.Columns {
			values = append(values, r.old.Value(row, c.Name))
		}
		_ = f.Append(values...) // refused where an older study had other columns: its cases are none of this one
	}
}
