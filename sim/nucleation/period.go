package nucleation

import "math"

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
