package border

import (
	"math"

	"onegrain/sim/furnace"
	"onegrain/sim/kinetics"
	"onegrain/studies/laws"
)

// Outlook is what a case comes to by estimate: what time and memory depend on, without growing it.
type Outlook struct {
	Cells  float64   // of the body
	Strays float64   // mean number of strays of a run
	Free   float64   // mean number of nuclei in what the seeds alone leave liquid
	Liquid []float64 // mean share that is liquid when each stage begins
}

// slab is a part of the body whose places are alike: all of it without a gradient.
type slab struct {
	offset float64 // K
	share  float64 // of the body
	a, c   float64 // grown so far, mm
	births []birth
	solid  float64 // share by seeds and strays
	seeded float64 // share by seeds
	peak   float64 // K
}

// birth is strays that started together.
type birth struct {
	count float64 // in a whole body of the slab's kind, those in solid included
	a, c  float64 // grown by then, mm
}

// slabs is how many offsets stand for a body under a gradient.
const slabs = 4

// outlook follows a draft along its programme. Strays fill the liquid as in Avrami's theory (J. Chem. Phys. 8 (1940) 212): the liquid
// is exp(−sum of the volumes all nuclei would have grown to undisturbed). Seeds are boxes that stop at the size of the body.
func (t *Draft) outlook(s *shape) Outlook {
	o := Outlook{Cells: s.fill() * float64(s.cells())}
	n := 1
	if t.HighestK > t.LowestK {
		n = slabs
	}
	parts := make([]slab, n)
	for i := range parts {
		parts[i].share = 1 / float64(n)
		parts[i].offset = t.LowestK + (t.HighestK-t.LowestK)*(float64(i)+0.5)/float64(n)
	}
	w := &walk{Draft: t, shape: s, parts: parts, extents: s.extents()}
	k := t.Case.Programme.Knots
	start := t.Case.Programme.GrowthStartH()
	ends := t.stageEnds()
	for i := 1; i < len(k); i++ {
		for len(o.Liquid) < len(ends) && ends[len(o.Liquid)] <= k[i-1].TimeH {
			o.Liquid = append(o.Liquid, 1-w.solid())
		}
		from, to := k[i-1], k[i]
		if to.TimeH <= start {
			continue
		}
		if from.TimeH < start {
			from = furnace.Knot{TimeH: start, UndercoolingK: t.Case.Programme.Undercooling(start)}
		}
		w.piece(from, to)
	}
	for len(o.Liquid) < len(ends) {
		o.Liquid = append(o.Liquid, 1-w.solid())
	}
	o.Strays, o.Free = math.Min(w.strays, o.Cells), w.free
	return o
}

// stageEnds are the hours at which the stages begin.
func (t *Draft) stageEnds() (hours []float64) {
	for i := range t.Schedule.Stages {
		part := t.Schedule
		part.Stages = part.Stages[:i]
		k := part.Programme(t.PeritecticC).Knots
		hours = append(hours, k[len(k)-1].TimeH)
	}
	return hours
}

// walk is how far an outlook has come.
type walk struct {
	*Draft
	*shape
	parts        []slab
	extents      [4]float64 // mm³ or mm² in which melt, top, side and bottom nucleate
	strays, free float64
}

func (w *walk) solid() (mean float64) {
	for i := range w.parts {
		mean += w.parts[i].share * w.parts[i].solid
	}
	return mean
}

// piece goes along a straight piece of the programme in steps that change the undercooling and the solid share little.
func (w *walk) piece(from, to furnace.Knot) {
	const mostK, mostShare, shortest = 1, 0.05, 1e-6
	hours, slope := to.TimeH-from.TimeH, 0.0
	if hours > 0 {
		slope = (to.UndercoolingK - from.UndercoolingK) / hours
	}
	done, step := 0.0, hours
	for first := true; (done < hours || first) && w.solid() < 0.9999; first = false {
		if slope != 0 {
			step = math.Min(step, mostK/math.Abs(slope))
		}
		for {
			step = math.Min(step, hours-done)
			u := from.UndercoolingK + slope*done
			next, strays, free := w.ahead(u, u+slope*step, step)
			most := 0.0
			for i := range next {
				most = math.Max(most, next[i].solid-w.parts[i].solid)
			}
			if most > mostShare && step > shortest*hours {
				step /= 2
				continue
			}
			w.parts, w.strays, w.free = next, w.strays+strays, w.free+free
			break
		}
		done += step
		step *= 2
	}
}

// ahead is where the slabs stand after a step, and what has started in it.
func (w *walk) ahead(u, v, hours float64) (next []slab, strays, free float64) {
	next = append(next, w.parts...)
	for i := range next {
		p := &next[i]
		from, to := u-p.offset, v-p.offset
		born := birth{a: p.a, c: p.c}
		for k, law := range laws.Each(w.Case.Nuclei) {
			if law != nil {
				born.count += w.extents[k] * law.Expected(from, to, hours, p.peak)
			}
		}
		p.peak = math.Max(p.peak, math.Max(from, to))
		p.a += kinetics.Length(w.Case.GrowthA, from, to, hours)
		p.c += kinetics.Length(w.Case.GrowthC, from, to, hours)
		if born.count > 1e-9 {
			p.births = append(p.births[:len(p.births):len(p.births)], born)
		}
		was := w.parts[i]
		p.seeded, p.solid = w.cover(p)
		strays += p.share * born.count * (1 - (was.solid+p.solid)/2)
		free += p.share * born.count * (1 - (was.seeded+p.seeded)/2)
	}
	return next, strays, free
}

// cover is the share of a slab that the seeds alone, and seeds and strays together, have made solid.
func (w *walk) cover(p *slab) (seeded, solid float64) {
	var top float64 // of the top face
	area := w.fill()
	for axis := range 2 {
		if !w.flat(axis) {
			area *= w.size[axis]
		}
	}
	for _, s := range w.Case.Seeds {
		patch := 1.0
		for axis := range 2 {
			if !w.flat(axis) {
				patch *= math.Min(w.size[axis], s.SizeMM[axis]+2*p.a)
			}
		}
		top += patch
	}
	seeded = math.Min(1, top/area)
	if !w.flat(2) {
		seeded *= math.Min(1, p.c/w.size[2])
	}
	grown := 0.0
	for _, b := range p.births {
		volume := 2 * (p.a - b.a)
		if !w.flat(1) {
			volume *= 2 * (p.a - b.a)
		}
		if !w.flat(2) {
			volume *= 2 * (p.c - b.c)
		}
		grown += b.count * volume
	}
	return seeded, 1 - (1-seeded)*math.Exp(-grown*w.thick/w.extents[0])
}

// extents are the volume of the melt (mm³) and the areas of top, side and bottom (mm²); a flat axis counts as the
// thickness of the body for the melt and as 1 mm for surfaces, as in the engine.
func (s *shape) extents() [4]float64 {
	length := func(axis int) float64 {
		if s.flat(axis) {
			return 1
		}
		return s.size[axis]
	}
	face := s.fill() * length(0) * length(1)
	round := 2 * (length(0) + length(1))
	switch {
	case s.plane == "ac":
		round = 2
	case s.kind == "disc":
		round = math.Pi * s.size[0]
	case s.kind == "ring":
		round = math.Pi * (s.size[0] + 2*s.inner)
	}
	if s.periodic {
		return [4]float64{face * length(2) * s.thick}
	}
	if s.plane == "ab" {
		return [4]float64{face * s.thick, 0, round, 0}
	}
	return [4]float64{face * length(2) * s.thick, face, round * length(2), face}
}

// fill is the share of the box that the body takes.
func (s *shape) fill() float64 {
	switch {
	case s.kind == "mask":
		dark := 0
		for _, in := range s.outline.Body {
			if in {
				dark++
			}
		}
		return float64(dark) / float64(len(s.outline.Body))
	case s.plane == "ac" || s.kind == "block":
		return 1
	case s.kind == "ring":
		hole := 2 * s.inner / s.size[0]
		return math.Pi / 4 * (1 - hole*hole)
	}
	return math.Pi / 4
}
