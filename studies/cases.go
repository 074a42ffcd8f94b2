package studies

import "onegrain/studies/table"

// writeCases puts the table of cases in place. A shard knows its own cases only and adds them as a part of that table, once
// it is complete, so that the part is the same whoever writes it.
func (r *Runner) writeCases(complete bool) error {
	f := r.ledger.schemas["cases"].Frame()
	if !complete && r.Shards <= 1 {
		if err := r.inherit(f); err != nil {
			return err
		}
	}
	for _, s := range r.order {
		if err := f.Append(s.row()...); err != nil {
			return err
		}
	}
	if r.Shards > 1 {
		if !complete || r.count.Failed > 0 {
			return nil
		}
		_, err := r.Folder.Add(f)
		return err
	}
	return r.Folder.Put(f)
}

// inherit takes the rows of cases that this command has not come to from the table an earlier one has left.
func (r *Runner) inherit(f *table.Frame) error {
	old, err := r.Folder.Table("cases")
	if err != nil {
		return err
	}
	mine := map[any]bool{}
	for _, s := range r.order {
		mine[s.ID] = true
	}
	for row := range old.Len() {
		if mine[old.Value(row, "case_id")] {
			continue
		}
		var values []any
		for _, c := range f.Schema.Columns {
			values = append(values, old.Value(row, c.Name))
		}
		_ = f.Append(values...) // refused where an older study had other columns: its cases are none of this one
	}
	return nil
}
