package table

import (
	"cmp"
	"slices"
)

// ordered are the rows in order; equal ones stay as they are.
func (f *Frame) ordered(compare func(a, b int) int) *Frame {
	order := make([]int, f.rows)
	for r := range order {
		order[r] = r
	}
	slices.SortStableFunc(order, compare)
	return f.Pick(order)
}

// byRun orders rows by case and replicate; those of one run stay as they are.
func (f *Frame) byRun() *Frame {
	keys := f.keys()
	return f.ordered(func(a, b int) int {
		return cmp.Or(cmp.Compare(keys[a].id, keys[b].id), cmp.Compare(keys[a].replicate, keys[b].replicate))
	})
}

// byValues orders cases by their varied values, the first column first; what is empty comes first.
func (f *Frame) byValues() *Frame {
	varied := f.Schema.Varied()
	return f.ordered(func(a, b int) int {
		for _, c := range varied {
			column := f.data[f.Schema.Index(c.Name)]
			x, y := column[a], column[b]
			n := btoi(y.IsNull()) - btoi(x.IsNull())
			if n == 0 && !x.IsNull() {
				n = node(c).Type().Compare(x, y)
			}
			if n != 0 {
				return n
			}
		}
		return 0
	})
}
