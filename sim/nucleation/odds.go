package nucleation

import (
	"onegrain/sim/body"
	"onegrain/sim/draw"
	"onegrain/sim/furnace"
)

// Odds is the Poisson process of strays in a body under a programme, before anything is drawn: the expected number of events in
// every cell until any time, of which Events is a sample. It never changes, so many replicates may share it at once.
type Odds struct {
	model     Model
	grid      *body.Grid
	programme furnace.Programme
	groups    *groups
	sources   []*source // one an origin that has a law and cells, in the order of Origin
}

// source is one origin: its cells, and the hazard of every group of them.
type source struct {
	origin  Origin
	extent  extent
	hazards []*Hazard // by group; nil where the origin has no cell in it
	pick    *picker
}

// NewOdds adds the laws up for every group of cells. A body that never melts everywhere gives odds of zero.
func NewOdds(m Model, g *body.Grid, p furnace.Programme, grad furnace.Gradient) *Odds {
	o := &Odds{model: m, grid: g, programme: p, groups: newGroups(g, grad)}
	lowest, _ := o.Span()
	w := newPath(p, lowest)
	for origin := Melt; origin <= Bottom; origin++ {
		law := m.law(origin)
		if law == nil {
			continue
		}
		s := &source{origin: origin, extent: extentOf(g, origin), hazards: make([]*Hazard, o.groups.count())}
		s.pick = newPicker(o.groups, s.extent)
		for group, weight := range s.pick.group {
			if weight > 0 {
				s.hazards[group] = along(law, w, o.groups.offset(group))
			}
		}
		if s.pick.last >= 0 {
			o.sources = append(o.sources, s)
		}
	}
	return o
}

// Span is the offset of the body's coldest cell and of its hottest, K.
func (o *Odds) Span() (lowest, highest float64) { return o.groups.span() }

// Expected is the mean number of events in cell (i, j, k), all origins together, from the start of the programme until untilH (hours);
// 0 for cells that are not of the body. The chance that nothing happens in a set of cells until each is captured is exp(−Σ Expected).
func (o *Odds) Expected(i, j, k int, untilH float64) float64 {
	if o.grid.State(i, j, k) != body.Inside {
		return 0
	}
	index, layer := outlineCell(o.grid, i, j, k)
	group := o.groups.at(index, layer)
	total := 0.0
	for _, s := range o.sources {
		if w := s.extent.at(index, layer); w > 0 {
			total += float64(w * s.hazards[group].At(untilH))
		}
	}
	return total
}

// Weight is the volume (mm³) or area (mm²) in which events of an origin may start in cell (i, j, k); surfaces count as 1 mm along a flat axis. 0 where
// the model has no law for the origin.
func (o *Odds) Weight(origin Origin, i, j, k int) float64 {
	if o.grid.State(i, j, k) != body.Inside {
		return 0
	}
	index, layer := outlineCell(o.grid, i, j, k)
	for _, s := range o.sources {
		if s.origin == origin {
			return s.extent.at(index, layer)
		}
	}
	return 0
}

func (x extent) at(index, layer int) float64 {
	if layer < x.first || layer >= x.end {
		return 0
	}
	return x.weight[index]
}

// Events draws one sample of the process. The n-th event of an origin takes the same numbers from the key whatever the case, so
// replicates of different cases meet the same dice.
func (o *Odds) Events(key draw.Key) *Events {
	e := &Events{odds: o}
	for _, s := range o.sources {
		e.strands = append(e.strands, newStrand(o, s, key))
	}
	return e
}
