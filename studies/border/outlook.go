package border

import (
	"math"

	"onegrain/sim/furnace"
	"onegrain/studies/laws"
	"onegrain/studies/layout"
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

// walk is how far an outlook has come.
type walk struct {
	*Draft
	body         *layout.Body
	sides        [3]float64
	extents      [4]float64 // mm³ or mm² in which melt, top, side and bottom nucleate
	fill         float64
	parts        []slab
	strays, free float64
}

// outlook follows a draft along its programme, for a body that may have other cells than its own.
// Strays fill the liquid as in Avrami's theory (J. Chem. Phys. 8 (1940) 212): the liquid is
// exp(−sum of the volumes all nuclei would have grown to undisturbed). Seeds are boxes that stop at
// the size of the body.
func (t *Draft) outlook(b *layout.Body) Outlook {
	w := &walk{Draft: t, body: b, sides: b.Sides(), extents: b.Extents(), fill: b.Fill()}
	n := 1
	if t.HighestK > t.LowestK {
		n = slabs
	}
	for i := range n {
		offset := t.LowestK + (t.HighestK-t.LowestK)*(float64(i)+0.5)/float64(n)
		w.parts = append(w.parts, slab{share: 1 / float64(n), offset: offset})
	}
	o := Outlook{Cells: w.fill * float64(b.Cells())}
	k, start := t.Case.Programme.Knots, t.Case.Programme.GrowthStartH()
	stages := t.Stages()[:len(t.Schedule.Stages)]
	begun := func(timeH float64) { // of the stages begun by then
		for len(o.Liquid) < len(stages) && stages[len(o.Liquid)].TimeH <= timeH {
			o.Liquid = append(o.Liquid, 1-w.solid())
		}
	}
	for i := 1; i < len(k); i++ {
		from, to := k[i-1], k[i]
		begun(from.TimeH)
		if to.TimeH <= start {
			continue
		}
		if from.TimeH < start {
			from = furnace.Knot{TimeH: start, UndercoolingK: t.Case.Programme.Undercooling(start)}
		}
		w.piece(from, to)
	}
	begun(math.Inf(1))
	o.Strays, o.Free = math.Min(w.strays, o.Cells), w.free
	return o
}

func (w *walk) solid() (mean float64) {
	for i := range w.parts {
		mean += w.parts[i].share * w.parts[i].solid
	}
	return mean
}

// piece goes along a straight piece of the programme in steps that change the undercooling and the
// solid share little.
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
		step = math.Min(step, hours-done)
		u := from.UndercoolingK + slope*done
		next := w.ahead(u, u+slope*step, step)
		for w.most(next) > mostShare && step > shortest*hours {
			step /= 2
			next = w.ahead(u, u+slope*step, step)
		}
		*w = next
		done += step
		step *= 2
	}
}

// most is by how much the solid share of a slab grows at most up to a later walk.
func (w *walk) most(next walk) (most float64) {
	for i := range next.parts {
		most = math.Max(most, next.parts[i].solid-w.parts[i].solid)
	}
	return most
}

// ahead is the walk after a step.
func (w *walk) ahead(u, v, hours float64) walk {
	next := *w
	next.parts = append([]slab(nil), w.parts...)
	strays, free := 0.0, 0.0
	for i := range next.parts {
		p := &next.parts[i]
		from, to := u-p.offset, v-p.offset
		born := birth{a: p.a, c: p.c}
		for k, law := range laws.Each(w.Case.Nuclei) {
			if law != nil {
				born.count += w.extents[k] * law.Expected(from, to, hours, p.peak)
			}
		}
		p.peak = math.Max(p.peak, math.Max(from, to))
		p.a += laws.Grown(w.Case.GrowthA, from, to, hours)
		p.c += laws.Grown(w.Case.GrowthC, from, to, hours)
		if born.count > 1e-9 {
			p.births = append(p.births[:len(p.births):len(p.births)], born)
		}
		was := w.parts[i]
		p.seeded, p.solid = w.cover(p)
		strays += p.share * born.count * (1 - (was.solid+p.solid)/2)
		free += p.share * born.count * (1 - (was.seeded+p.seeded)/2)
	}
	next.strays, next.free = w.strays+strays, w.free+free
	return next
}

// cover is the share of a slab that the seeds alone, and seeds and strays together, have made
// solid.
func (w *walk) cover(p *slab) (seeded, solid float64) {
	var top float64 // of the top face
	area := w.fill * w.sides[0] * w.sides[1]
	for _, s := range w.Case.Seeds {
		patch := 1.0
		for axis := range 2 {
			if !w.body.Flat(axis) {
				patch *= math.Min(w.sides[axis], s.SizeMM[axis]+2*p.a)
			}
		}
		top += patch
	}
	seeded = math.Min(1, top/area)
	if !w.body.Flat(2) {
		seeded *= math.Min(1, p.c/w.sides[2])
	}
	grown := 0.0
	for _, b := range p.births {
		volume := 2 * (p.a - b.a)
		if !w.body.Flat(1) {
			volume *= 2 * (p.a - b.a)
		}
		if !w.body.Flat(2) {
			volume *= 2 * (p.c - b.c)
		}
		grown += b.count * volume
	}
	return seeded, 1 - (1-seeded)*math.Exp(-grown*w.body.ThickMM()/w.extents[0])
}
