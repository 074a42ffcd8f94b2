package battery

import (
	"fmt"
	"math"
	"strings"
)

// growthLaw is a law of growth as a study has it and as a formula, apart from the engine's own.
type growthLaw interface {
	rate(u float64) float64     // mm/h at an undercooling in K; 0 at and below 0 K
	integral(u float64) float64 // of the rate from 0 K, mm K/h
	toml() string               // the keys of [material] growth_a or growth_c as an inline table
}

// power is R = rate10 (ΔT/10 K)^n.
type power struct{ rate10, n float64 }

// perSecond is R = alpha ΔT^n with alpha in mm/s, as the literature has it.
func perSecond(alpha, n float64) power { return power{3600 * alpha * math.Pow(10, n), n} }

func (p power) rate(u float64) float64 {
	if u <= 0 {
		return 0
	}
	return p.rate10 * math.Pow(u/10, p.n)
}

func (p power) integral(u float64) float64 { return math.Max(0, u) * p.rate(u) / (p.n + 1) }

func (p power) toml() string {
	return fmt.Sprintf("{law = \"power\", rate_at_10K_mm_per_h = %v, exponent = %v}", p.rate10, p.n)
}

// points is a measured law: linear between its points, from 0 at 0 K, constant beyond the last.
type points struct{ u, r []float64 }

func (p points) rate(u float64) float64 {
	lowU, lowR := 0.0, 0.0
	for i, high := range p.u {
		if u <= high {
			return math.Max(0, lowR+(p.r[i]-lowR)*(u-lowU)/(high-lowU))
		}
		lowU, lowR = high, p.r[i]
	}
	return lowR
}

// integral adds trapezia, which are exact for straight pieces.
func (p points) integral(u float64) float64 {
	sum, low := 0.0, 0.0
	for _, high := range append(append([]float64{}, p.u...), math.Inf(1)) {
		if next := math.Min(u, high); next > low {
			sum += (next - low) * (p.rate(low) + p.rate(next)) / 2
			low = next
		}
	}
	return sum
}

func (p points) toml() string {
	return fmt.Sprintf("{law = \"table\", undercooling_K = %s, rate_mm_per_h = %s}", list(p.u), list(p.r))
}

// programme is the undercooling in K at its start, and stages; the body is molten at the start.
type programme struct {
	startK float64
	stages []stage
}

// stage goes to an undercooling, or to a temperature in °C, at a rate in K/h, or, where the rate is
// 0, holds for some hours. Only stages with an undercooling have knots.
type stage struct{ toK, rate, hold, toC float64 }

// knot is a corner of a programme: hours and K.
type knot struct{ t, u float64 }

const (
	peritecticC = 1005.0 // 1278.15 K
	peritecticK = peritecticC + 273.15
	jump        = 1e5 // K/h, the fastest a study allows: it takes 1e-4 h to 10 K, and formulas count it as the ramp it is
)

func (p programme) knots() []knot {
	k := []knot{{0, p.startK}}
	for _, s := range p.stages {
		last := k[len(k)-1]
		if s.rate == 0 {
			k = append(k, knot{last.t + s.hold, last.u})
		} else {
			k = append(k, knot{last.t + math.Abs(s.toK-last.u)/s.rate, s.toK})
		}
	}
	return k
}

func (p programme) end() float64 { k := p.knots(); return k[len(k)-1].t }

func (p programme) toml(peritectic float64) string {
	var b strings.Builder
	fmt.Fprintf(&b, "[schedule]\nstart_C = %v\n", peritectic-p.startK)
	for _, s := range p.stages {
		switch {
		case s.rate == 0:
			fmt.Fprintf(&b, "[[schedule.stage]]\nhold_h = %v\n", s.hold)
		case s.toC > 0:
			fmt.Fprintf(&b, "[[schedule.stage]]\nto_C = %v\nrate_K_per_h = %v\n", s.toC, s.rate)
		default:
			fmt.Fprintf(&b, "[[schedule.stage]]\nto_undercooling_K = %v\nrate_K_per_h = %v\n", s.toK, s.rate)
		}
	}
	return b.String()
}

// grown is the length in mm until an hour.
func grown(l growthLaw, p programme, t float64) float64 { return along(l, p.knots(), t) }

// along is grown between knots: on each straight piece, with dΔT = slope dt, the difference of the
// law's integral over the slope.
func along(l growthLaw, k []knot, t float64) (mm float64) {
	for i := 1; i < len(k) && k[i-1].t < t; i++ {
		a, b := k[i-1], k[i]
		if b.t > t {
			b = knot{t, a.u + (b.u-a.u)*(t-a.t)/(b.t-a.t)}
		}
		if a.u == b.u {
			mm += l.rate(a.u) * (b.t - a.t)
		} else {
			mm += (l.integral(b.u) - l.integral(a.u)) * (b.t - a.t) / (b.u - a.u)
		}
	}
	return mm
}

// hours is the inverse of grown, by halving; +Inf where the programme ends before.
func hours(l growthLaw, p programme, mm float64) float64 {
	k := p.knots()
	low, high := 0.0, p.end()
	if along(l, k, high) < mm {
		return math.Inf(1)
	}
	for range 60 {
		if t := (low + high) / 2; along(l, k, t) < mm {
			low = t
		} else {
			high = t
		}
	}
	return high
}

// faster is a law with its rate wrong by a factor.
type faster struct {
	growthLaw
	by float64
}

func (f faster) rate(u float64) float64     { return f.by * f.growthLaw.rate(u) }
func (f faster) integral(u float64) float64 { return f.by * f.growthLaw.integral(u) }
