package table

import (
	"cmp"
	"slices"
	"strings"
)

// batcher gathers rows and publishes them in files of some size.
type batcher struct {
	m     *merger
	table string
	meta  map[string]string
	all   *Frame
	names []string
	rows  int
}

func (b *batcher) add(rows *Frame) error {
	b.rows += rows.Len()
	for k, v := range rows.meta {
		if k != keyWith {
			b.meta[k] = together(b.meta[k], v)
		}
	}
	if b.all == nil || b.all.Len() == 0 {
		b.all = rows
	} else if rows.Len() > 0 {
		if err := b.all.join(rows); err != nil {
			return err
		}
	}
	if b.all.Len() >= b.m.most {
		return b.flush(false)
	}
	return nil
}

// flush publishes what has come together, and an empty file only if it is wanted.
func (b *batcher) flush(empty bool) error {
	if b.all == nil || b.all.Len() == 0 && !empty {
		return nil
	}
	name, data, err := called("merged-", b.all.byRun(), b.meta)
	if err != nil {
		return err
	}
	b.names, b.all = append(b.names, name), nil
	if slices.Contains(b.m.tellers[b.table].files, name) {
		return nil // made by an earlier merge
	}
	return b.m.f.publish(name, data)
}

// together is what several files say of themselves, each word once.
func together(a, b string) string {
	if a == "" {
		return b
	}
	words := append(strings.Split(a, ", "), strings.Split(b, ", ")...)
	slices.Sort(words)
	return strings.Join(slices.Compact(words), ", ")
}

// cases makes one table of the parts that shards have left, in the order of the varied values.
func (m *merger) cases() error {
	parts, err := m.f.within("cases", ending)
	if err != nil || len(parts) == 0 {
		return err
	}
	all, err := m.f.Table("cases")
	if err != nil {
		return err
	}
	meta := map[string]string{}
	for _, name := range parts {
		one, _, err := m.f.file(name, nil)
		if err != nil {
			return err
		}
		for k, v := range one.meta {
			meta[k] = together(meta[k], v)
		}
	}
	if err := m.f.put(all.byValues(), meta); err != nil {
		return err
	}
	m.old = append(m.old, parts...)
	if m.tell != nil {
		m.tell("cases", len(parts), 1, all.Len())
	}
	return nil
}

// byValues orders cases by their varied values, the first column first.
func (f *Frame) byValues() *Frame {
	varied := f.Schema.Varied()
	order := make([]int, f.rows)
	for r := range order {
		order[r] = r
	}
	slices.SortStableFunc(order, func(a, b int) int {
		for _, c := range varied {
			i := f.Schema.Index(c.Name)
			if n := compareValues(f.data[i].value(c.Kind, a), f.data[i].value(c.Kind, b)); n != 0 {
				return n
			}
		}
		return 0
	})
	return f.Pick(order)
}

// compareValues orders values of one column; what is empty comes first.
func compareValues(a, b any) int {
	switch x := a.(type) {
	case int64:
		if y, ok := b.(int64); ok {
			return cmp.Compare(x, y)
		}
	case float64:
		if y, ok := b.(float64); ok {
			return cmp.Compare(x, y)
		}
	case string:
		if y, ok := b.(string); ok {
			return cmp.Compare(x, y)
		}
	case bool:
		if y, ok := b.(bool); ok {
			return btoi(x) - btoi(y)
		}
	}
	return btoi(a != nil) - btoi(b != nil)
}
