package main

import (
	"errors"
	"fmt"
	"math"

	"onegrain/analysis/fit"
	"onegrain/sim/nucleation/rate"
)

// kelvinAt0C turns °C into kelvin.
const kelvinAt0C = 273.15

// barrierLaw is the engine's own law.
func barrierLaw(peritecticC float64) fit.Barrier {
	t := peritecticC + kelvinAt0C
	return fit.Barrier{PeritecticK: t, Expected: func(s fit.Stage, prefactor, barrierK3 float64) float64 {
		return rate.Barrier{PrefactorPerUnitH: prefactor, BarrierK3: barrierK3, PeritecticK: t}.Expected(s.FromK, s.ToK, s.Hours, 0)
	}}
}

// placeFitted is what `fit nuclei` tells of one place.
type placeFitted struct {
	Place string `json:"place"`
	Unit  string `json:"unit"`  // mm3 or mm2
	Block string `json:"block"` // to be pasted into a study; remarks alone where there is no law
	*fit.NucleiFit
	lines []*logged
}

// nucleiFitted is all that `fit nuclei` tells.
type nucleiFitted struct {
	File     string         `json:"file"`
	Body     string         `json:"body,omitempty"` // the study whose body was grown along the rows
	Places   []*placeFitted `json:"places"`
	Warnings []string       `json:"warnings"` // of rows that were left out
}

func (q *fitting) nuclei(s streams, path string) error {
	book := &strayBook{places: map[string]*atPlace{}}
	if q.body != "" {
		var err error
		if book.body, err = q.readBody(q.body); err != nil {
			return err
		}
	}
	if math.IsNaN(q.peritecticC) {
		return usage(errors.New(lawNeedsPeritectic))
	}
	read, err := q.read(path)
	if err != nil {
		return err
	}
	if book.body != nil {
		s.say(growingBody, q.body, plural(len(read.rows), "row"))
	}
	for _, r := range read.rows {
		book.take(&logged{read, r, logbook(), q.peritecticC})
	}
	all := &nucleiFitted{File: path, Body: q.body, Places: []*placeFitted{}, Warnings: book.leftOut()}
	if err := read.problems.Err(); err != nil {
		return err
	}
	places := book.places
	if len(places) == 0 {
		return usage(fmt.Errorf("%s: %s", path, nothingLooked))
	}
	var failed []string
	for _, place := range placeNames() {
		if places[place] == nil {
			continue
		}
		f, err := fit.Nuclei(places[place].rows, barrierLaw(q.peritecticC), q.barrier)
		if err != nil {
			failed = append(failed, q.undecided(path, place, err, "--barrier K3 fixes the barrier", "nucleation.melt.barrier_K3"))
			continue
		}
		done := &placeFitted{Place: place, Unit: places[place].unit, NucleiFit: f, lines: places[place].lines}
		done.Block = q.nucleiBlock(path, done)
		all.Places = append(all.Places, done)
	}
	return q.tell(s, all, all.print, failed)
}
