package growth

import (
	"math"

	"onegrain/sim/furnace"
	"onegrain/sim/kinetics"
)

// rates is a growth law made quick: the rate in cells per hour and its exponent d ln R / d ln ΔT at
// equal steps of ΔT.
type rates struct {
	law    kinetics.Law
	cellMM float64
	perK   float64
	rate   []float64
	power  []float64
}

const rateSteps = 1 << 13

func newRates(l kinetics.Law, cellMM, mostK float64) *rates {
	r := &rates{law: l, cellMM: cellMM, perK: rateSteps / mostK, rate: make([]float64, rateSteps+2),
		power: make([]float64, rateSteps+2)}
	for i := 1; i < len(r.rate); i++ {
		u := float64(i) / r.perK
		r.rate[i] = l.Rate(u) / cellMM
		if r.rate[i] > 0 {
			d := 0.5 / r.perK
			r.power[i] = u * (l.Rate(u+d) - l.Rate(u-d)) / (2 * d * r.rate[i] * cellMM)
		}
	}
	return r
}

// at is the rate at an undercooling, cells/h.
func (r *rates) at(u float64) float64 {
	x := float64(u * r.perK)
	if x <= 0 {
		return 0
	}
	i := min(int(x), rateSteps)
	return r.rate[i] + float64((x-float64(i))*(r.rate[i+1]-r.rate[i]))
}

// grown is the length while the undercooling goes straight from u to v in h hours: Simpson's rule,
// good to 1e-6 of a step over which ΔT changes by a tenth.
func (r *rates) grown(u, v, h float64) float64 {
	if math.Abs(v-u) > 0.4*u {
		return kinetics.Length(r.law, u, v, h) / r.cellMM
	}
	return float64(h*(r.at(u)+4*r.at(0.5*(u+v))+r.at(v))) / 6
}

// piece is a straight part of the programme.
type piece struct{ from, to, at, slope float64 } // h, h, ΔT at from, K/h

// timeline is the programme as pieces.
type timeline []piece

func newTimeline(p furnace.Programme) timeline {
	var t timeline
	for i := 1; i < len(p.Knots); i++ {
		a, b := p.Knots[i-1], p.Knots[i]
		if b.TimeH > a.TimeH {
			t = append(t, piece{a.TimeH, b.TimeH, a.UndercoolingK, (b.UndercoolingK - a.UndercoolingK) / (b.TimeH - a.TimeH)})
		}
	}
	return t
}

// find is the piece that holds an hour, the last one for later hours.
func (t timeline) find(hours float64) int {
	i := len(t) - 1
	for i > 0 && t[i].from > hours {
		i--
	}
	return i
}

func (p *piece) undercooling(hours float64) float64 { return p.at + float64(p.slope*(hours-p.from)) }

// grown is what a face grows from one hour to a later one at an offset of the temperature.
func (t timeline) grown(r *rates, from, to, offset float64) float64 {
	sum := 0.0
	for i := t.find(from); i < len(t) && from < to; i++ {
		end := math.Min(to, t[i].to)
		sum += r.grown(t[i].undercooling(from)-offset, t[i].undercooling(end)-offset, end-from)
		from = end
	}
	return sum
}

// reach is the hour at which a face has grown a length since an hour; +Inf if the programme ends
// before.
func (t timeline) reach(r *rates, from, length, offset float64, i int) float64 {
	if length <= 0 {
		return from
	}
	for ; i < len(t); i++ {
		p := &t[i]
		u := p.undercooling(from) - offset
		if h := r.hours(u, p.slope, length); from+h <= p.to {
			return from + h
		}
		length -= r.grown(u, p.undercooling(p.to)-offset, p.to-from)
		if length <= 0 {
			return p.to
		}
		from = p.to
	}
	return math.Inf(1)
}

// both is the rate and its exponent.
func (r *rates) both(u float64) (rate, power float64) {
	x := float64(u * r.perK)
	if x <= 0 {
		return 0, 0
	}
	i := min(int(x), rateSteps)
	f := x - float64(i)
	return r.rate[i] + float64(f*(r.rate[i+1]-r.rate[i])), r.power[i]
}

// refine is Newton's method for grown(u, u + slope·h, h) = length from a good guess h.
func (r *rates) refine(u, slope, length, h float64) float64 {
	for range 2 {
		v := u + float64(slope*h)
		if v <= 0 {
			break
		}
		d := (r.grown(u, v, h) - length) / r.at(v)
		h -= d
		if math.Abs(d) < 1e-4*h {
			break
		}
	}
	return h
}

// hours inverts grown on one ramp.
func (r *rates) hours(u, slope, length float64) float64 {
	if rate, power := r.both(u); rate > 0 && u*r.perK > 8 {
		if h, e := guess(length, 1/rate, power, 0, slope/u); e < 0.4 {
			return r.refine(u, slope, length, h)
		}
	}
	return kinetics.Time(r.law, u, slope, float64(length*r.cellMM))
}
