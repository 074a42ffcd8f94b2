package measure

// columns says whose each column of the body is. A column is the cells above one another, one for
// each (i, j).
type columns struct {
	cells  []int32 // body cells in it
	first  []int32 // the first seeded grain met, unmet, or foul where anything else is in it
	last   []int32 // the latest seeded grain met
	others []other // further seeded grains
}

// other is a seeded grain in a column whose first grain is another one.
type other struct{ column, grain int32 }

const (
	unmet = -1
	foul  = -2
)

func newColumns(n int) columns {
	c := columns{make([]int32, n), make([]int32, n), make([]int32, n), nil}
	for u := range c.first {
		c.first[u] = unmet
	}
	return c
}

// add is the next body cell of column u; grains below `seeded` are seeded.
func (c *columns) add(u int, grain int32, seeded int) {
	c.cells[u]++
	switch f := c.first[u]; {
	case f == foul || f == grain && c.last[u] == grain:
	case grain < 0 || int(grain) >= seeded:
		c.first[u] = foul
	case f == unmet:
		c.first[u], c.last[u] = grain, grain
	case c.last[u] != grain:
		c.last[u] = grain
		c.others = append(c.others, other{int32(u), grain})
	}
}

// clear tells for each column whether every cell of it belongs to one domain, given the domain of
// each seeded grain.
func (c *columns) clear(domains []int, domain int) []bool {
	ok := make([]bool, len(c.first))
	for u, f := range c.first {
		ok[u] = f >= 0 && domains[f] == domain
	}
	for _, o := range c.others {
		if domains[o.grain] != domain {
			ok[o.column] = false
		}
	}
	return ok
}
