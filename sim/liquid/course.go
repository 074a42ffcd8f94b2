package liquid

import (
	"math"
	"sort"

	"onegrain/sim/furnace"
	"onegrain/sim/kinetics"
	"onegrain/sim/nucleation"
	"onegrain/sim/nucleation/rate"
	"onegrain/sim/number"
)

// Laws are those of a melt.
type Laws struct {
	GrowthA, GrowthC kinetics.Law
	Nuclei           nucleation.Model // of which the texture does not matter
}

// Course is what becomes of a body along a programme, without strays in its way.
type Course struct {
	Strays [origins]float64 // expected in the liquid, by origin
	FullH  float64          // when the last place was solid, hours of the programme; +Inf if liquid stays
	At     Lengths          // at the end of the programme, or where it was left because all was solid
}

// Lambda is the strays expected of all origins.
func (c *Course) Lambda() (sum float64) {
	for _, x := range c.Strays {
		sum += x
	}
	return sum
}

// Chance is that of no stray and no liquid left.
func (c *Course) Chance() float64 {
	if math.IsInf(c.FullH, 1) {
		return 0
	}
	return None(c.Lambda())
}

// None is the chance that none comes where so many are expected, in a Poisson process.
func None(expected float64) float64 { return number.Exp(-expected) }

// Fine is a step in K that leaves 1e-5 of Λ, Quick one that leaves 1e-3; see Table.Course.
const (
	Fine  = 0.1
	Quick = 0.5
)

// panel is a straight piece of the programme over which rates of nucleation change little.
type panel struct {
	from, to furnace.Knot
	at       Lengths          // at its end
	strays   [origins]float64 // until its end, per mm³ or mm²
	bend     [origins]Lengths // ln of how much more strays come per mm at its end than at its begin
}

// Course walks a programme until all is solid or it ends, in panels of stepK at most. Within a
// panel grown lengths and numbers of strays are exact at the ends; between them the strays that
// come while a face grows 1 mm rise as an exponential. That is exact where the undercooling is
// held, and off by the square of the step elsewhere.
func (t *Table) Course(p furnace.Programme, laws Laws, stepK float64) Course {
	w := walk{Table: t, a: face{Law: laws.GrowthA}, c: face{Law: laws.GrowthC}}
	for o := range w.law {
		if t.weight[o] != nil {
			w.law[o] = laws.Nuclei.Law(nucleation.Origin(o))
		}
	}
	c := Course{FullH: math.Inf(1)}
	knots := p.GrowthKnots()
	if len(knots) == 0 {
		return c
	}
	first := furnace.Knot{TimeH: knots[0].TimeH}
	w.room, _ = t.rooms.Get().(*room)
	if w.room == nil {
		w.room = &room{along: make([]float64, 2*len(t.a)+1+len(t.c))}
	}
	w.panels = append(w.panels[:0], panel{from: first, to: first})
	w.cut(knots[0], stepK) // a jump to below the peritectic temperature
	for _, k := range knots[1:] {
		if w.cut(k, stepK) {
			break
		}
	}
	c.At, c.FullH = w.end().at, w.fullH()
	for o, law := range w.law {
		if law != nil {
			c.Strays[o] = w.strays(o)
		}
	}
	t.rooms.Put(w.room)
	return c
}

// walk is how far a course has come.
type walk struct {
	*Table
	a, c face              // of the grains
	law  [origins]rate.Law // nil where there is none, or nothing of the body
	peak float64
	*room
}

// room is what a walk fills in; a course is walked many thousand times, and room made anew would
// take longer.
type room struct {
	panels []panel
	along  []float64 // of lengths
}

func (w *walk) end() *panel { return &w.panels[len(w.panels)-1] }

// cut adds the panels up to a knot; it is true once all is solid.
func (w *walk) cut(k furnace.Knot, stepK float64) (full bool) {
	from := w.end().to
	n := 1.0
	if k.TimeH > from.TimeH {
		n = math.Max(1, math.Ceil(math.Abs(k.UndercoolingK-from.UndercoolingK)/stepK))
	}
	for i := 1.0; i <= n && !full; i++ {
		to := k
		if i < n {
			to = from.Towards(k, from.TimeH+float64((k.TimeH-from.TimeH)*(i/n)))
		}
		w.add(to)
		full = w.Full(w.end().at)
	}
	return full
}

// face is a growth law with its values at the end of the last panel.
type face struct {
	kinetics.Law
	rate, integral float64
}

// grow is what the face grows in a panel, and by what factor its rate falls in it.
func (f *face) grow(u, v, hours float64) (mm, falls float64) {
	before := *f
	f.rate = f.Rate(v)
	if p, is := f.Law.(kinetics.Power); is { // half of the time is that of its powers
		f.integral = float64(f.rate*v) / (p.Exponent + 1)
	} else {
		f.integral = f.Integral(v)
	}
	falls = before.rate / f.rate
	if math.Abs(v-u) > float64(1e-3*v) && u >= 0 { // few digits cancel
		return float64((f.integral - before.integral) / (v - u) * hours), falls
	}
	return kinetics.Length(f.Law, u, v, hours), falls
}

// add walks one panel.
func (w *walk) add(to furnace.Knot) {
	before := w.end()
	p := panel{from: before.to, to: to, at: before.at, strays: before.strays}
	hours := to.TimeH - p.from.TimeH
	u, v := p.from.UndercoolingK, to.UndercoolingK
	a, fallsA := w.a.grow(u, v, hours)
	c, fallsC := w.c.grow(u, v, hours)
	p.at.A, p.at.C = p.at.A+a, p.at.C+c
	for o, law := range w.law {
		if law == nil {
			continue
		}
		more := law.Expected(u, v, hours, w.peak)
		p.strays[o] += more
		if more > 0 && hours > 0 && u != v {
			slope := (v - u) / hours
			rise := law.Intensity(v, slope) / law.Intensity(u, slope)
			p.bend[o] = Lengths{bend(float64(rise * fallsA)), bend(float64(rise * fallsC))}
		}
	}
	w.peak = math.Max(w.peak, v)
	w.panels = append(w.panels, p)
}

// mostBend is where a panel begins or ends with next to nothing.
const mostBend = 60

// bend is the logarithm of a rise of the strays per mm; 0 where it has none.
func bend(rise float64) float64 {
	x := number.Log(rise)
	if x != x {
		return 0
	}
	return math.Max(-mostBend, math.Min(mostBend, x))
}

// part is which part of a panel's strays have come in which part of its length.
func part(x, bend float64) float64 {
	if math.Abs(bend) < 1e-4 {
		return x
	}
	return (number.Exp(float64(bend*x)) - 1) / (number.Exp(bend) - 1)
}

// strays are those of an origin in the liquid. The table's weights at (n_a, n_c) turn solid at the
// later of two moments, and the strays until the later are the larger of two numbers.
func (w *walk) strays(o int) (sum float64) {
	n := len(w.Table.a)
	byA, late, byC := w.along[:n], w.along[n:2*n+1], w.along[2*n+1:] // late ends with 0
	w.until(byA, w.Table.a, o, func(l *Lengths) float64 { return l.A })
	w.until(byC, w.Table.c, o, func(l *Lengths) float64 { return l.C })
	ac, early, last := 0, 0.0, []float64(nil)
	for j, hc := range byC {
		row := w.rows[o][j]
		if row == nil {
			continue
		}
		if last == nil || &row[0] != &last[0] { // else as the row before: most bodies have one alone
			last, ac, early = row, 0, 0
			for i := n - 1; i >= 0; i-- {
				late[i] = late[i+1] + float64(row[i]*byA[i])
			}
		}
		for ; ac < n && byA[ac] < hc; ac++ {
			early += row[ac]
		}
		sum += float64(early*hc) + late[ac]
	}
	return sum
}

// until fills in the strays per mm³ or mm² until a face has grown each of some lengths; all of them
// where it does not come so far.
func (w *walk) until(strays, lengths []float64, o int, of func(*Lengths) float64) {
	n := 0
	for i, x := range lengths {
		for n < len(w.panels) && of(&w.panels[n].at) < x {
			n++
		}
		if n == len(w.panels) {
			for ; i < len(lengths); i++ {
				strays[i] = w.end().strays[o]
			}
			return
		}
		p := &w.panels[n]
		if n == 0 {
			strays[i] = p.strays[o]
			continue
		}
		q := &w.panels[n-1]
		low, high := of(&q.at), of(&p.at)
		strays[i] = q.strays[o]
		if more := p.strays[o] - q.strays[o]; more > 0 {
			strays[i] += float64(more * part((x-low)/(high-low), of(&p.bend[o])))
		}
	}
}

// fullH is the hour at which the last place is solid, +Inf if some is not.
func (w *walk) fullH() float64 {
	if !w.Full(w.end().at) {
		return math.Inf(1)
	}
	first := math.Inf(1)
	for _, need := range w.last {
		if w.end().at.A >= need.A && w.end().at.C >= need.C {
			a := w.hour(need.A, w.a.Law, func(l *Lengths) float64 { return l.A })
			c := w.hour(need.C, w.c.Law, func(l *Lengths) float64 { return l.C })
			first = math.Min(first, math.Max(a, c))
		}
	}
	return first
}

// hour is when a face has grown a length that it reaches.
func (w *walk) hour(length float64, l kinetics.Law, of func(*Lengths) float64) float64 {
	n := sort.Search(len(w.panels), func(n int) bool { return of(&w.panels[n].at) >= length })
	p := &w.panels[n]
	hours := p.to.TimeH - p.from.TimeH
	if n == 0 || hours == 0 {
		return p.to.TimeH
	}
	slope := (p.to.UndercoolingK - p.from.UndercoolingK) / hours
	rest := length - of(&w.panels[n-1].at)
	return math.Min(p.to.TimeH, p.from.TimeH+kinetics.Time(l, p.from.UndercoolingK, slope, rest))
}
