package nucleation

import "math"

// Events is one sample of the strays of a body, in order of time. It is drawn as far as it is asked
// for, so a run that has no liquid left simply stops asking. Not safe for use by several goroutines
// at once.
type Events struct {
	odds    *Odds
	strands []*strand
}

// Next is the earliest event not yet given; false after the programme's end. Of events at the same
// time, as at a jump, the origin first in order comes first.
func (e *Events) Next() (Event, bool) {
	var first *strand
	soonest := math.Inf(1)
	for _, s := range e.strands {
		if t := s.head().time; t < soonest {
			first, soonest = s, t
		}
	}
	if first == nil {
		return Event{}, false
	}
	return e.odds.event(first.source, first.take()), true
}

// event works out what the dice of a draw mean.
func (o *Odds) event(s *source, d dice) Event {
	index, layer := s.cell(d.group, d.cell, d.layer)
	cell := gridCell(o.grid, index, layer)
	return Event{
		TimeH:         d.time,
		UndercoolingK: o.cooling.Programme.Undercooling(d.time) - o.groups.offset(d.group),
		AtMM:          o.place(s.origin, cell, index, d.inside),
		Cell:          cell,
		Origin:        s.origin,
		Orientation:   o.model.Texture.Orientation(o.grid.Flat, d.turn),
	}
}

// place is a uniform point in the cell, or on one of its faces of the origin.
func (o *Odds) place(origin Origin, cell [3]int, index int, u [3]float64) [3]float64 {
	off := [3]float64{u[0] - 0.5, u[1] - 0.5, u[2] - 0.5}
	switch origin {
	case Top:
		off[2] = 0.5
	case Bottom:
		off[2] = -0.5
	case Side:
		o.onWall(index, u, &off)
	}
	if o.grid.Flat >= 0 {
		off[o.grid.Flat] = 0
	}
	x, y, z := o.grid.Centre(cell[0], cell[1], cell[2])
	h := o.grid.CellMM
	return [3]float64{x + float64(h*off[0]), y + float64(h*off[1]), z + float64(h*off[2])}
}

// onWall moves a place onto one of the cell's walls. The first uniform chooses the wall and what is
// left of it the place along it.
func (o *Odds) onWall(index int, u [3]float64, off *[3]float64) {
	open := walls(o.grid, index)
	n := float64(u[0] * float64(len(open)))
	d := open[int(n)]
	across, up := 0, 1 // axes of the grid the outline lies in
	if o.grid.Flat == 1 {
		up = 2
	}
	if d >= 2 {
		across, up = up, across
	}
	off[up] = n - math.Floor(n) - 0.5
	off[across] = 0.5 - float64(d&1)
}
