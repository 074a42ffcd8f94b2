package nucleation

import (
	"math"
	"sort"

	"onegrain/sim/draw"
)

// strand is the sequence of events of one origin. Partial sums of unit exponentials are laid along
// the expected number of events Λ of all its cells. Where all cells share one temperature, a sum is
// turned into a time by the inverse of Λ. Else the programme is cut into periods; the sums that
// fall into a period tell how many events it has, and each of these independently gets a group (by
// its share of the period's Λ) and a time (by the inverse of the group's own Λ), then they are
// sorted: the points of a Poisson process in a region, given their number, are independent (J. F.
// C. Kingman, Poisson Processes (1993) ch. 2). Both are exact.
//
// Thinning against a majorant rate was rejected: a sites law has no rate at a jump.
type strand struct {
	source                 *source
	gaps, place, hour, mix *draw.Stream
	sum                    float64 // of the exponentials, up to the first event not yet in ready
	ready                  []dice  // in order of time, the next one first
	single                 int     // the only group, or -1
	period                 period
}

// dice are the numbers of one event. Each takes the same count of them from every stream.
type dice struct {
	time        float64
	group       int
	cell, layer float64
	inside      [3]float64
	turn        [3]float64
}

func newStrand(s *source, key draw.Key) *strand {
	label := s.origin.String()
	d := &strand{
		source: s, single: s.single(), period: newPeriod(s),
		gaps: key.Stream(label + " gap"), place: key.Stream(label + " place"),
		hour: key.Stream(label + " hour"), mix: key.Stream(label + " orientation"),
	}
	d.sum = d.gaps.Exponential()
	return d
}

// head is the next event; its time is +Inf when there is none.
func (s *strand) head() dice {
	for len(s.ready) == 0 {
		if s.single >= 0 {
			d := s.roll()
			d.group = s.single
			d.time = s.source.hazards[s.single].time(s.sum / s.source.weight[s.single])
			s.ready = append(s.ready, d)
			if d.time <= math.MaxFloat64 {
				s.sum += s.gaps.Exponential()
			}
		} else if !s.fill() {
			s.ready = append(s.ready, dice{time: math.Inf(1)})
		}
	}
	return s.ready[0]
}

// take removes and returns the head.
func (s *strand) take() dice {
	d := s.head()
	s.ready = s.ready[1:]
	return d
}

// roll throws the dice of one event, except those that decide its time and group.
func (s *strand) roll() dice {
	var d dice
	d.cell, d.layer = s.place.Uniform(), s.place.Uniform()
	for i := range d.inside {
		d.inside[i] = s.place.Uniform()
	}
	for i := range d.turn {
		d.turn[i] = s.mix.Uniform()
	}
	return d
}

// fill moves to the next period and draws its events; false when the programme is over.
func (s *strand) fill() bool {
	if !s.period.next(s.source) {
		return false
	}
	for s.sum <= s.period.before+s.period.shares[len(s.period.shares)-1] {
		d := s.roll()
		which, when := s.hour.Uniform(), s.hour.Uniform()
		d.group = chosen(s.period.shares, which)
		d.time = s.period.time(s.source.hazards[d.group], d.group, when)
		s.ready = append(s.ready, d)
		s.sum += s.gaps.Exponential()
	}
	sort.SliceStable(s.ready, func(i, j int) bool { return s.ready[i].time < s.ready[j].time })
	return true
}

// crowd is how many events a period should not expect to exceed, so that their list stays short.
const crowd = 512

// period is a span of the programme together with the hazard of every group at both its ends.
type period struct {
	path     *path // nil: nothing ever happens
	step     int   // the step of the path that it lies in
	ended    bool  // it reaches to the end of that step
	from, to float64
	lower    []float64 // by group: expected events per mm³ or mm² until `from`
	upper    []float64 // the same until `to`
	shares   []float64 // running sums over the groups of the events expected in the period
	before   float64   // events of all groups expected until `from`
}

// newPeriod stands before the first step.
func newPeriod(s *source) period {
	n := len(s.hazards)
	w := period{step: -1, ended: true, lower: make([]float64, n), upper: make([]float64, n), shares: make([]float64, n)}
	if h := s.hazards[s.last]; h.path != nil {
		w.path, w.to = h.path, h.path.knots[0].TimeH
	}
	return w
}

// next moves on; false at the programme's end. A period that expects a crowd is halved in time
// until it does not; a jump stays whole.
func (w *period) next(s *source) bool {
	w.before += w.shares[len(w.shares)-1]
	w.from = w.to
	w.lower, w.upper = w.upper, w.lower
	if w.ended {
		w.step++
	}
	if w.path == nil || w.step+1 >= len(w.path.knots) {
		return false
	}
	w.to, w.ended = w.path.knots[w.step+1].TimeH, true
	w.weigh(s, func(h *hazard) float64 { return h.total[w.step+1] })
	for w.shares[len(w.shares)-1] > crowd && w.to-w.from > float64(1e-9*w.to) {
		w.to, w.ended = float64(0.5*(w.from+w.to)), false
		w.weigh(s, func(h *hazard) float64 { return h.at(w.to) })
	}
	return true
}

// weigh fills upper and shares.
func (w *period) weigh(s *source, until func(*hazard) float64) {
	total := 0.0
	for g, h := range s.hazards {
		if h != nil {
			w.upper[g] = until(h)
			total += float64(s.weight[g] * math.Max(0, w.upper[g]-w.lower[g]))
		}
		w.shares[g] = total
	}
}

// time of an event of a group from a uniform number.
func (w *period) time(h *hazard, group int, u float64) float64 {
	t := h.time(w.lower[group] + float64(u*(w.upper[group]-w.lower[group])))
	return math.Max(w.from, math.Min(w.to, t))
}
