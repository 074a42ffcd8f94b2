package measure

import (
	"math"

	"onegrain/sim"
	"onegrain/sim/growth"
)

// rows is the field of a run, read row by row; see growth.Field.
type rows interface {
	Row(j, k int, dst []growth.Cell)
	LastH(rows []float64) float64
}

// sectors is how many values growth.Cell.Sector has.
const sectors = 7

// Survey is a finished run looked over once. It never changes.
type Survey struct {
	on           *sim.Case
	grains       []sim.Grain
	field        rows
	joinDeg      float64        // see Look
	seeded       int            // grains before this one are seeded
	cells        [][sectors]int // per grain and sector
	liquid       int            // cells without a grain
	rows         []float64      // when the last centre of each row was captured, hours
	fullH        float64        // when the last place of the body was solid; see growth.Field.LastH
	columns      columns        // whose each column is
	contacts     contacts       // which grains touch
	times        calendar       // how much was solid when
	domains      []int          // per seeded grain, numbered from 0 in the order of their first grains
	largest      int            // the domain of the largest volume, -1 without seeded cells
	largestCells int
}

// Look surveys a finished run. Touching seeded grains whose disorientation is joinDeg (degrees) or
// less count as one domain.
func Look(o *sim.Outcome, joinDeg float64) *Survey {
	return look(o.Case, o.Grains, o.Field, joinDeg)
}

func look(c *sim.Case, grains []sim.Grain, field rows, joinDeg float64) *Survey {
	s := &Survey{on: c, grains: grains, field: field, joinDeg: joinDeg, fullH: math.NaN()}
	s.cells = make([][sectors]int, len(grains))
	for s.seeded < len(grains) && grains[s.seeded].Seed >= 0 {
		s.seeded++
	}
	s.columns = newColumns(c.Grid.N[0] * c.Grid.N[1])
	s.times = newCalendar(c, s.GrowthStartH())
	s.pass(field)
	s.join()
	if s.liquid == 0 && s.body() > 0 {
		s.fullH = field.LastH(s.rows)
	}
	return s
}

// pass reads every row once; below holds the owners of the layer underneath until a row is
// overwritten with its own.
func (s *Survey) pass(field rows) {
	n := s.on.Grid.N
	row := make([]growth.Cell, n[0])
	below := make([]int32, n[0]*n[1])
	for u := range below {
		below[u] = growth.NoBody
	}
	void := make([]int32, n[0])
	copy(void, below)
	for k := range n[2] {
		before := void
		for j := range n[1] {
			field.Row(j, k, row)
			under := below[j*n[0] : (j+1)*n[0]]
			s.rows = append(s.rows, s.row(row, j*n[0]))
			s.contacts.row(row, before, under, j, k)
			before = under
		}
	}
	if s.on.Grid.Periodic {
		s.contacts.wrap(field, n)
	}
}

// row counts the cells of a row whose first column is number first, and returns when the last was
// captured.
func (s *Survey) row(row []growth.Cell, first int) (last float64) {
	last = math.Inf(-1)
	for i := range row {
		c := &row[i]
		if c.Grain == growth.NoBody {
			continue
		}
		s.columns.add(first+i, c.Grain, s.seeded)
		if c.Grain < 0 {
			s.liquid++
			continue
		}
		s.cells[c.Grain][c.Sector]++
		t := float64(c.TimeH)
		if t > last {
			last = t
		}
		s.times.add(t)
	}
	return last
}

// size is how many cells a grain has.
func (s *Survey) size(grain int) (n int) {
	for _, c := range s.cells[grain] {
		n += c
	}
	return n
}

// solid and body count cells.
func (s *Survey) solid() (n int) {
	for g := range s.cells {
		n += s.size(g)
	}
	return n
}

func (s *Survey) body() int { return s.solid() + s.liquid }
