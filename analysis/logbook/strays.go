package logbook

import "slices"

// Seen is how strays were looked at.
type Seen uint8

// What a row can say of strays.
const (
	Counted    Seen = iota // how many there were; none is 0
	AtLeastOne             // one or more
	FirstStray             // the first one came at the end of the stage, and what came later is not known
)

// Strays is a row that says what was seen of strays.
type Strays struct {
	Line
	Place  string // one of Places
	Unit   string // of Size: mm3 or mm2
	Stage  Stage  // until the first stray, where that was waited for
	Seen   Seen
	Count  int     // where they were counted
	Size   float64 // what was liquid, mm³ or mm²; where a seed grew in a known body, the whole of it
	Liquid []Part  // how the liquid went there; nil where nothing used it up, or no body is known
}

// Part is what was liquid (mm³ or mm²) in a part of a stage.
type Part struct {
	Stage Stage
	Size  float64
}

// Parts are those of the stage with their liquid: a single one where nothing was used up.
func (s Strays) Parts() []Part {
	if s.Liquid != nil {
		return s.Liquid
	}
	return []Part{{s.Stage, s.Size}}
}

// Least is how many strays were seen at least.
func (s Strays) Least() int {
	if s.Seen != Counted {
		return 1
	}
	return s.Count
}

// Body is the body in which the runs were made. Its seed grows along their stages and so tells what
// was liquid.
type Body interface {
	Name() string               // what errors call it
	Whole(place string) float64 // mm³ or mm² before growth
	// Liquid is what was liquid in the last of some stages, up to so many hours of it, and what was
	// left then. A seed width above 0 mm takes the place of its own.
	Liquid(place string, stages []Stage, hours, seedMM float64) (parts []Part, left float64)
}

// Strays are the rows that say what was seen of strays, and sentences about those that were left
// out. Temperatures need peritecticC. Without a body (nil) rows have to say what was liquid, and
// those that cool while a seed grows cannot. Rows that are wrong are noted.
func (s *Sheet) Strays(peritecticC float64, body Body) (rows []Strays, sentences []string) {
	all := &strayRows{Sheet: s, peritecticC: peritecticC, body: body, runs: map[string]*run{}}
	for _, r := range s.rows() {
		if !r.recorded() {
			all.take(r)
		}
	}
	sentences = slices.Concat(leftOut(onlyRuns, s.recorded()),
		leftOut("there is nothing about strays (strays = 0 says that none came): %s", all.empty),
		leftOut("it was not undercooled: %s", all.warm), leftOut("the body was solid before: %s", all.full))
	if all.unread {
		sentences = append(sentences,
			"volume_mm3 and area_mm2 were not read, except in rows with seed_mm = 0: "+body.Name()+" says what was liquid")
	}
	if n := len(all.cooled); n > 0 {
		all.meanOfCooled(all.cooled[0], n-1)
	}
	return all.rows, sentences
}
