package likelihood

import (
	"math"

	"onegrain/analysis/belief/facts"
	"onegrain/sim/furnace"
	"onegrain/sim/kinetics"
	"onegrain/sim/liquid"
	"onegrain/sim/nucleation"
	"onegrain/sim/number"
	"onegrain/studies/draws"
)

// Run is a furnace run that is asked for its likelihood many times, by many at once.
type Run struct {
	*facts.Run
	table *liquid.Table
	hours []float64           // at which something is asked, each once
	until []furnace.Programme // the programme until each of them
	asked []asked
}

// asked is a fact with the numbers of its hours; from is −1 where it is the start.
type asked struct {
	*facts.Fact
	from, to int
	logMM    float64
}

// New makes a run of facts ready; the table is that of the body with its seeds, which a run that
// says how much was liquid does not need.
func New(r *facts.Run, table *liquid.Table) *Run {
	n := &Run{Run: r, table: table}
	for i := range r.Saw {
		f := &r.Saw[i]
		a := asked{Fact: f, from: -1, to: n.hour(f.ToH), logMM: number.Log(f.MM)}
		if f.Kind == facts.Strays && f.FromH > 0 {
			a.from = n.hour(f.FromH)
		}
		n.asked = append(n.asked, a)
	}
	return n
}

// hour is the number of an hour.
func (r *Run) hour(h float64) int {
	for i, known := range r.hours {
		if known == h {
			return i
		}
	}
	cut := furnace.Programme{}
	for _, k := range r.Programme.Knots {
		if k.TimeH > h {
			break
		}
		if cut.Knots = append(cut.Knots, k); k.TimeH == h && h > r.Programme.Knots[0].TimeH {
			break // a jump at that hour comes after it
		}
	}
	if last := cut.Knots[len(cut.Knots)-1]; last.TimeH < h {
		cut.Knots = append(cut.Knots, furnace.Knot{TimeH: h, UndercoolingK: r.Programme.Undercooling(h)})
	}
	r.hours, r.until = append(r.hours, h), append(r.until, cut)
	return len(r.hours) - 1
}

// shifted is a programme that is deeper by some K. It begins molten all the same.
func shifted(p furnace.Programme, byK float64) furnace.Programme {
	q := furnace.Programme{Knots: make([]furnace.Knot, 0, len(p.Knots)+1)}
	for i, k := range p.Knots {
		if k.UndercoolingK += byK; i == 0 && k.UndercoolingK > 0 {
			q.Knots = append(q.Knots, furnace.Knot{TimeH: k.TimeH, UndercoolingK: min(0, p.Knots[0].UndercoolingK)})
		}
		q.Knots = append(q.Knots, k)
	}
	return q
}

// shifts are the even steps at which curves are made, and the curves: of each fact, first what its
// likelihood is about, then the density of a first stray.
type shifts struct {
	step, first float64 // K
	of          []curve
}

// reach is how many deviations of the shift count, nodeK how far apart in K a run is asked.
const (
	reach = 4.5
	nodeK = 1.5
)

// along asks a run at all shifts that a law allows.
func (r *Run) along(l *draws.Law, laws liquid.Laws) *shifts {
	wide := float64(reach * l.ScatterK)
	half := math.Min(mostNodes/2, math.Ceil(wide/nodeK))
	s := &shifts{step: wide / half, of: make([]curve, 2*len(r.asked))}
	s.first = -wide
	n := 2*int(half) + 1
	for i := range n {
		r.ask(laws, l.OffsetK[r.Furnace]+s.first+float64(s.step*float64(i)), func(fact int, x, density float64) {
			s.of[2*fact].put(i, x)
			s.of[2*fact+1].put(i, density)
		})
	}
	for i := range s.of {
		s.of[i].close(n)
	}
	return s
}

// log is the logarithm of the likelihood of all facts at a shift in K.
func (s *shifts) log(r *Run, byK, scatter float64) (sum float64) {
	t := (byK - s.first) / s.step
	for i := range r.asked {
		f, density := &r.asked[i], 0.0
		if f.Kind == facts.FirstStray {
			density = s.of[2*i+1].at(t)
		}
		sum += f.log(s.of[2*i].at(t), density, scatter)
	}
	return sum
}

// The mean over shifts: a first look at so many tells where what counts lies, so many make the
// mean.
const (
	coarse = 13
	fine   = 21
	counts = 14 // what is less than e^−14 of the most does not
)

// hopeless is the logarithm of a likelihood that is as good as none, so that a sum of them stays
// one.
const hopeless = -1e5

// Log is the logarithm of the likelihood of what was seen of a run, for a law and what the engine
// makes of it.
func (r *Run) Log(l *draws.Law, laws liquid.Laws) float64 {
	if len(r.asked) == 0 {
		return 0
	}
	s := r.along(l, laws)
	at := func(z float64) float64 {
		return s.log(r, float64(z*l.ScatterK), l.LengthScatter) - float64(0.5*float64(z*z)) - halfLog2Pi
	}
	const step = 2 * reach / (coarse - 1)
	var logs [coarse]float64
	most := math.Inf(-1)
	for i := range logs {
		logs[i] = at(float64(step*float64(i)) - reach)
		most = math.Max(most, logs[i])
	}
	low, high := coarse, 0
	for i, x := range logs {
		if x > most-counts {
			low, high = min(low, i), max(high, i)
		}
	}
	from := math.Max(-reach, float64(step*float64(low-1))-reach)
	to := math.Min(reach, float64(step*float64(high+1))-reach)
	if log := mean(at, from, to); log > hopeless {
		return log
	}
	return hopeless // of numbers without a bound, too
}

// mean is the logarithm of the integral of a density given by its logarithm, at even steps.
func mean(log func(z float64) float64, from, to float64) float64 {
	var logs [fine]float64
	step, most := (to-from)/(fine-1), math.Inf(-1)
	for i := range logs {
		logs[i] = log(from + float64(step*float64(i)))
		most = math.Max(most, logs[i])
	}
	if math.IsInf(most, -1) {
		return most
	}
	sum := 0.0
	for _, x := range logs {
		sum += number.Exp(x - most)
	}
	sum -= float64(0.5 * (number.Exp(logs[0]-most) + number.Exp(logs[fine-1]-most)))
	return most + number.Log(float64(sum*step))
}

// ask is what each fact is about where the undercooling is deeper by some K.
func (r *Run) ask(laws liquid.Laws, byK float64, put func(fact int, x, density float64)) {
	courses := make([]*liquid.Course, len(r.hours))
	course := func(hour int) *liquid.Course {
		if courses[hour] == nil {
			courses[hour] = r.course(shifted(r.until[hour], byK), laws)
		}
		return courses[hour]
	}
	for i := range r.asked {
		f, x, density := &r.asked[i], 0.0, 0.0
		switch f.Kind {
		case facts.Strays:
			x = course(f.to).Lambda()
			if f.from >= 0 {
				x = math.Max(0, x-course(f.from).Lambda())
			}
		case facts.FirstStray:
			x, density = course(f.to).Lambda(), r.density(f.to, course(f.to).At, laws, byK)
		case facts.GrownC:
			x = grown(laws.GrowthC, shifted(r.until[f.to], byK))
		default:
			x = grown(laws.GrowthA, shifted(r.until[f.to], byK))
		}
		put(i, number.Log(x), number.Log(density))
	}
}

// grown is the length of a face at the end of a programme in a body without an end.
func grown(law kinetics.Law, p furnace.Programme) (mm float64) {
	last := furnace.Knot{}
	for i, k := range p.GrowthKnots() {
		if i > 0 {
			mm += kinetics.Length(law, last.UndercoolingK, k.UndercoolingK, k.TimeH-last.TimeH)
		}
		last = k
	}
	return mm
}

// course is that of the body, or of melt in which nothing grows.
func (r *Run) course(p furnace.Programme, laws liquid.Laws) *liquid.Course {
	c := &liquid.Course{}
	if r.LiquidMM3 == 0 {
		*c = r.table.Course(p, laws, liquid.Quick)
		return c
	}
	peak, last := 0.0, furnace.Knot{}
	for i, k := range p.GrowthKnots() {
		if i == 0 {
			last.TimeH = k.TimeH
		}
		c.Strays[nucleation.Melt] += float64(r.LiquidMM3 *
			laws.Nuclei.Melt.Expected(last.UndercoolingK, k.UndercoolingK, k.TimeH-last.TimeH, peak))
		peak, last = math.Max(peak, k.UndercoolingK), k
	}
	return c
}

// density is the strays that come per hour at the end of a programme, where the faces have grown
// some lengths.
func (r *Run) density(hour int, at liquid.Lengths, laws liquid.Laws, byK float64) float64 {
	left := r.LiquidMM3
	if left == 0 {
		left = r.table.Left(nucleation.Melt, at)
	}
	k, peak := r.until[hour].Knots, math.Inf(-1)
	last, before := k[len(k)-1], k[max(0, len(k)-2)]
	for _, knot := range k[:len(k)-1] {
		peak = math.Max(peak, knot.UndercoolingK)
	}
	slope := 0.0 // where it was deeper before no site is left to start
	if hours := last.TimeH - before.TimeH; hours > 0 && last.UndercoolingK >= peak {
		slope = (last.UndercoolingK - before.UndercoolingK) / hours
	}
	return float64(left * laws.Nuclei.Melt.Intensity(last.UndercoolingK+byK, slope))
}
