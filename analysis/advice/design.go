package advice

import (
	"fmt"
	"math"
	"slices"
)

// Advice is a programme and what runs without strays say of it.
type Advice struct {
	Programme      []Point // its last piece ends at EndH; nominal undercoolings
	EndH           float64
	ExpectedStrays float64 // Λ if the true undercooling is deeper by the tolerance: what the chance was asked for
	Worlds         []World
}

// World is what becomes of the programme where the true undercooling is not the nominal one.
type World struct {
	OffsetK        float64 // true less nominal undercooling, the same at all times
	ExpectedStrays float64
	Chance         float64 // of no stray until the body is full
	FullH          float64 // +Inf where liquid is left at the programme's end
}

// Design finds the quickest programme with the wanted chance.
func Design(t *Task) (*Advice, error) {
	if err := t.check(); err != nil {
		return nil, err
	}
	d := &designer{t}
	if _, err := d.try([]Point{{0, 0}, {t.DeepestK / t.FirstKPerH, t.DeepestK}}); err != nil {
		return nil, err
	}
	one, err := d.settled(shape{rate: []float64{0}})
	if err != nil {
		return nil, err
	}
	s, err := d.refined(one)
	var programme []Point
	if err == nil {
		programme, err = d.kept(s)
	}
	if err != nil && len(s.rate) > 1 { // steep later stages leave few starts, which a run may rule out
		programme, err = d.kept(one)
	}
	if err != nil {
		return nil, err
	}
	return d.told(programme)
}

// designer looks for a programme.
type designer struct{ *Task }

// Rounds of designing and trying; a run and what was foretold mostly agree after two.
const (
	mostRounds = 6
	agreement  = 0.01 // of Λ
)

// try is an error where a programme never fills the body.
func (d *designer) try(programme []Point) (o Outcome, err error) {
	if o = d.Try(programme); math.IsInf(o.FullH, 1) {
		err = errNeverFull
	}
	return o, err
}

const noProgramme = "no programme was found with a chance of %g: at every undercooling more strays are expected " +
	"before the body is solid"

// settled improves a shape until runs find what was foretold.
func (d *designer) settled(s shape) (shape, error) {
	for range mostRounds {
		s = d.improved(s, d.mostStrays())
		startK, _, ok := d.start(s, d.mostStrays())
		if !ok {
			return s, fmt.Errorf(noProgramme, d.Chance)
		}
		programme := s.from(startK, d.Task)
		before := d.Follow(programme).ExpectedStrays
		found, err := d.try(programme)
		if err != nil {
			return s, err
		}
		if now := found.ExpectedStrays; now == before || math.Abs(math.Log(before/now)) < agreement {
			break
		}
	}
	return s, nil
}

// worthwhile is what another stage has to gain, as a part of the hours.
const worthwhile = 0.01

// refined adds stages as long as each is worth it.
func (d *designer) refined(s shape) (shape, error) {
	_, hours, _ := d.start(s, d.mostStrays())
	for len(s.rate) < mostStages {
		more := d.improved(s.split(hours), d.mostStrays())
		_, less, ok := d.start(more, d.mostStrays())
		if !ok || less > (1-worthwhile)*hours {
			break
		}
		s, hours = more, less
	}
	if len(s.rate) == 1 {
		return s, nil
	}
	return d.settled(s)
}

// kept is the programme in numbers that a controller takes, tried, and begun shallower for as long
// as it has more strays than wanted.
func (d *designer) kept(s shape) ([]Point, error) {
	most := d.mostStrays()
	for range mostRounds {
		startK, hours, ok := d.start(s, most)
		if !ok || startK < 0.1 {
			break
		}
		// a little longer than need be, so that no short hold has to follow
		programme := d.rounded(s.from(startK, d.Task), 1.02*(1+margin)*hours)
		trial, err := d.try(programme)
		if err != nil || trial.ExpectedStrays <= d.mostStrays() {
			return programme, err
		}
		most *= math.Min(0.99, d.mostStrays()/trial.ExpectedStrays)
	}
	return nil, fmt.Errorf(noProgramme, d.Chance)
}

// rounded is a programme up to an hour, whose stages and holds take tenths of an hour and end at
// tenths of a kelvin, none deeper than it was.
func (d *designer) rounded(exact []Point, endH float64) []Point {
	last := Point{UndercoolingK: tenthDown(exact[1].UndercoolingK)}
	last.TimeH = last.UndercoolingK / d.FirstKPerH
	out := []Point{{}, last}
	for i, p := range append(exact[2:], Point{math.Inf(1), exact[len(exact)-1].UndercoolingK}) {
		from := exact[i+1]
		if p.TimeH > endH {
			if f := (endH - from.TimeH) / (p.TimeH - from.TimeH); f > 0 {
				p.UndercoolingK = from.UndercoolingK + f*(p.UndercoolingK-from.UndercoolingK)
			}
			p.TimeH = endH
		}
		if p.TimeH <= from.TimeH {
			break
		}
		last = Point{last.TimeH + math.Max(0.1, math.Round(10*(p.TimeH-from.TimeH))/10),
			math.Max(last.UndercoolingK, tenthDown(p.UndercoolingK))}
		out = append(out, last)
	}
	return out
}

func tenthDown(x float64) float64 { return math.Floor(10*x+1e-6) / 10 }

// worlds are the offsets that are told, besides the tolerance itself.
func (d *designer) worlds() []float64 {
	offsets := []float64{-2, -1, 0, 1, 2}
	if t := d.ToleranceK; !slices.Contains(offsets, t) {
		offsets = append(offsets, -t, t)
	}
	slices.Sort(offsets)
	return offsets
}

// margin is the part of the growth time by which the programme goes on after the body should be
// full.
const margin = 0.1

// told takes the tolerance off the undercoolings, ends the programme, and tries it in all worlds.
func (d *designer) told(deep []Point) (*Advice, error) {
	programme := d.moved(deep, -d.ToleranceK)
	if start := programme[1].UndercoolingK; start <= d.ToleranceK {
		return nil, fmt.Errorf("a chance of %g even with %g K more undercooling needs a start at %.2g K of undercooling, "+
			"and with %g K less nothing grows there; ask for a smaller tolerance or chance",
			d.Chance, d.ToleranceK, start, d.ToleranceK)
	}
	a := &Advice{}
	for _, offset := range d.worlds() {
		if programme[1].UndercoolingK+offset <= 0 {
			continue // the first stage would begin above the peritectic temperature
		}
		trial := d.Try(d.moved(programme, offset))
		w := World{offset, trial.ExpectedStrays, math.Exp(-trial.ExpectedStrays), trial.FullH - offset/d.FirstKPerH}
		a.Worlds = append(a.Worlds, w)
		switch offset {
		case 0:
			a.EndH = math.Max(a.EndH, (1+margin)*w.FullH)
		case -d.ToleranceK:
			a.EndH = math.Max(a.EndH, w.FullH)
		}
		if offset == d.ToleranceK {
			a.ExpectedStrays = w.ExpectedStrays
		}
	}
	last := programme[len(programme)-1]
	if short := a.EndH - last.TimeH; short > 0 { // held in tenths of an hour
		last.TimeH += math.Ceil(10*short) / 10
		if n := len(programme); n > 2 && programme[n-2].UndercoolingK == last.UndercoolingK {
			programme = programme[:n-1]
		}
		programme = append(programme, last)
	}
	a.Programme, a.EndH = programme, last.TimeH
	for i := range a.Worlds {
		if a.Worlds[i].FullH > a.EndH {
			a.Worlds[i].FullH = math.Inf(1)
		}
	}
	return a, nil
}

// moved is a programme with all undercoolings deeper by offsetK; the way from the peritectic
// temperature to the first stage gets longer.
func (d *designer) moved(programme []Point, offsetK float64) []Point {
	out := []Point{{0, 0}}
	for _, p := range programme[1:] {
		out = append(out, Point{p.TimeH + offsetK/d.FirstKPerH, p.UndercoolingK + offsetK})
	}
	return out
}
