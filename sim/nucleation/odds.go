package nucleation

import (
	"onegrain/sim/body"
	"onegrain/sim/draw"
	"onegrain/sim/furnace"
)

// Odds is the Poisson process of strays in a body under a cooling, before anything is drawn: the
// expected number of events in every cell until any time, of which Events is a sample. It never
// changes, so many replicates may share it at once.
type Odds struct {
	model   Model
	grid    *body.Grid
	cooling furnace.Cooling
	groups  *groups
	sources []*source // one an origin that has a law and cells, in the order of Origin
}

// NewOdds adds the laws up for every group of cells. A body that never melts everywhere gives odds
// of zero.
func NewOdds(m Model, g *body.Grid, cooling furnace.Cooling) *Odds {
	if m.Texture == nil {
		m.Texture = Random{}
	}
	o := &Odds{model: m, grid: g, cooling: cooling, groups: newGroups(g, cooling.Gradient)}
	lowest, _ := o.Span()
	w := newPath(cooling.Programme, lowest)
	for origin := Melt; origin <= Bottom; origin++ {
		if law := m.Law(origin); law != nil {
			if s := newSource(origin, law, w, o.groups, extentOf(g, origin)); s.last >= 0 {
				o.sources = append(o.sources, s)
			}
		}
	}
	return o
}

// Span is the offset of the body's coldest cell and of its hottest, K.
func (o *Odds) Span() (lowest, highest float64) { return o.groups.span() }

// Expected is the mean number of events in cell (i, j, k) by origin from the start of the programme
// until an hour; 0 for cells that are not of the body. The chance that nothing happens in a set of
// cells until each is captured is exp(−Σ Expected).
func (o *Odds) Expected(i, j, k int, untilH float64) (by [Bottom + 1]float64) {
	index, layer := outlineCell(o.grid, i, j, k)
	for _, s := range o.sources {
		if w := o.Weight(s.origin, i, j, k); w > 0 {
			by[s.origin] = float64(w * s.hazards[o.groups.at(index, layer)].at(untilH))
		}
	}
	return by
}

// Weight is the volume (mm³) or area (mm²) in which events of an origin may start in cell (i, j,
// k); surfaces count as 1 mm along a flat axis. 0 where the model has no law for the origin.
func (o *Odds) Weight(origin Origin, i, j, k int) float64 {
	s := o.source(origin)
	if s == nil || o.grid.State(i, j, k) != body.Inside {
		return 0
	}
	return s.extent.at(outlineCell(o.grid, i, j, k))
}

// PerUnit is the mean number of events of an origin per mm³ or mm² until an hour, in a body all of
// which sees the same.
func (o *Odds) PerUnit(origin Origin, untilH float64) float64 {
	if s := o.source(origin); s != nil {
		return s.hazards[s.last].at(untilH)
	}
	return 0
}

func (o *Odds) source(origin Origin) *source {
	for _, s := range o.sources {
		if s.origin == origin {
			return s
		}
	}
	return nil
}

// Events draws one sample of the process. The n-th event of an origin takes the same numbers from
// the key whatever the case, so replicates of different cases meet the same dice.
func (o *Odds) Events(key draw.Key) *Events {
	e := &Events{odds: o}
	for _, s := range o.sources {
		e.strands = append(e.strands, newStrand(s, key))
	}
	return e
}
