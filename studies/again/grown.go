package again

import (
	"onegrain/sim"
	"onegrain/sim/growth"
	"onegrain/sim/measure"
	"onegrain/studies"
)

// Grown is one replicate of a case, grown again.
type Grown struct {
	Planned   studies.Planned
	Replicate int // from 1
	Outcome   *sim.Outcome
	Survey    *measure.Survey
	Run       measure.Run
	Domain    []int // of each grain, from 0; -1 for strays
	Cells     *Cells

	boundaries map[[2]int32]measure.Boundary
}

// Grow grows a replicate of a case again; without strays as the exact odds see it. The error is
// that of a study that cannot be converted.
func Grow(p studies.Planned, replicate int, strays bool) (*Grown, error) {
	c, err := p.Case()
	if err != nil {
		return nil, err
	}
	key := p.Key(replicate)
	if strays {
		c = p.Run(c, replicate)
	}
	o := sim.Seeded(c, key)
	if strays {
		o = o.Strays(key)
	}
	g := &Grown{Planned: p, Replicate: replicate, Outcome: o, Survey: measure.Look(o, p.JoinDeg), Cells: CellsOf(o)}
	g.Run, g.boundaries = g.Survey.Run(), map[[2]int32]measure.Boundary{}
	for _, grain := range g.Survey.Grains() {
		g.Domain = append(g.Domain, grain.Domain)
	}
	for _, b := range g.Survey.Boundaries() {
		g.boundaries[[2]int32{int32(b.Grain1), int32(b.Grain2)}] = b
	}
	return g, nil
}

// Boundary is the boundary of two grains, all zero where they do not touch.
func (g *Grown) Boundary(p, q int32) (b measure.Boundary, touch bool) {
	b, touch = g.boundaries[[2]int32{min(p, q), max(p, q)}]
	return b, touch
}

// SeveralGrains tells whether any two grains touch.
func (g *Grown) SeveralGrains() bool { return len(g.boundaries) > 0 }

// Cells are those of the box around a body. Cell (i, j, k) stands at index (k·NY + j)·NX + i.
type Cells struct {
	Grain  []int32   // index in Outcome.Grains; -1 liquid, -2 not of the body
	Sector []uint8   // 0 +a, 1 −a, 2 +b, 3 −b, 4 +c, 5 −c, 6 the seed or nucleus itself
	TimeH  []float32 // capture time, h from the start of the programme; meaningless where Grain < 0
}

// CellsOf copies the field of a run.
func CellsOf(o *sim.Outcome) *Cells {
	size := o.Case.Grid.N
	n := size[0] * size[1] * size[2]
	c := &Cells{Grain: make([]int32, 0, n), Sector: make([]uint8, 0, n), TimeH: make([]float32, 0, n)}
	row := make([]growth.Cell, size[0])
	for k := range size[2] {
		for j := range size[1] {
			o.Field.Row(j, k, row)
			for _, cell := range row {
				c.Grain, c.Sector = append(c.Grain, cell.Grain), append(c.Sector, cell.Sector)
				c.TimeH = append(c.TimeH, cell.TimeH)
			}
		}
	}
	return c
}
