package draws

import (
	"math"

	"onegrain/sim/number"
)

// bodyMM3 is the melt of which one stray a day is asked.
const bodyMM3 = 4000

// Onset is where strays begin and how steeply: coordinates in which both families are alike, and in
// which what a logbook leaves open is nearly straight.
type Onset struct {
	Family string
	DailyK float64 // undercooling at which 4000 mm³ get one stray a day; of Sites, one at all
	// Barrier: the barrier over T ΔT² there. Sites: how fast their number rises there, of its
	// logarithm per K.
	Steepness     float64
	DensityPerMM3 float64 // of Sites
}

// Put makes it the strays of a law in a melt of a peritectic temperature; ok is false where no such
// law is.
func (o Onset) Put(l *Law, peritecticC float64) (ok bool) {
	l.Family = o.Family
	if !(o.DailyK > 0 && o.Steepness > 0) {
		return false
	}
	if o.Family == Sites {
		z, rise := lowest(o.DensityPerMM3)
		l.DensityPerMM3, l.SpreadK = o.DensityPerMM3, rise/o.Steepness
		l.MeanK = o.DailyK - float64(z*l.SpreadK)
		return z == z
	}
	kelvin := peritecticC + 273.15 - o.DailyK
	l.PrefactorPerMM3H = number.Exp(o.Steepness) / (24 * bodyMM3)
	l.BarrierK3 = float64(o.Steepness * float64(kelvin*float64(o.DailyK*o.DailyK)))
	return kelvin > 0 && o.Steepness < 600
}

// OnsetOf is where the strays of a law begin; NaN where they never come so often.
func OnsetOf(l Law, peritecticC float64) Onset {
	o := Onset{Family: l.Family, DailyK: math.NaN(), Steepness: math.NaN()}
	if l.Family == Sites {
		z, rise := lowest(l.DensityPerMM3)
		o.DensityPerMM3, o.DailyK, o.Steepness = l.DensityPerMM3, l.MeanK+float64(z*l.SpreadK), rise/l.SpreadK
		return o
	}
	o.Steepness = number.Log(float64(24 * bodyMM3 * l.PrefactorPerMM3H))
	kelvin := peritecticC + 273.15
	low, high := 0.0, float64(2.0/3*kelvin) // where T ΔT² is largest
	want := l.BarrierK3 / o.Steepness
	if !(o.Steepness > 0 && want < float64((kelvin-high)*float64(high*high))) {
		return o
	}
	for range 60 {
		if u := float64(0.5 * (low + high)); float64((kelvin-u)*float64(u*u)) < want {
			low = u
		} else {
			high = u
		}
	}
	o.DailyK = high
	return o
}

// DoublesK is over how many K strays come twice as often, where 4000 mm³ get one a day.
func (o Onset) DoublesK(peritecticC float64) float64 {
	if o.Family == Sites {
		return math.Ln2 / o.Steepness
	}
	return math.Ln2 / float64(o.Steepness*(2/o.DailyK-1/(peritecticC+273.15-o.DailyK)))
}

// lowest is how many spreads below the mean the first of the sites in 4000 mm³ starts (as a number
// below 0), and by how much their number's logarithm rises there per spread; NaN where there are
// none.
func lowest(densityPerMM3 float64) (z, rise float64) {
	log := -number.Log(float64(bodyMM3 * densityPerMM3))
	if !(log < 0) {
		return math.NaN(), math.NaN()
	}
	for range 40 { // Newton's method: ln Φ is concave, so that from the left it never goes too far
		part := float64(0.5 * number.Erfc(-z/math.Sqrt2))
		rise = number.Exp(float64(-0.5*float64(z*z))) / float64(part*math.Sqrt(2*math.Pi))
		step := (log - number.Log(part)) / rise
		if z += step; math.Abs(step) < 1e-12 {
			break
		}
	}
	return z, rise
}
