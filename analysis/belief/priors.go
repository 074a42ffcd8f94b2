package belief

import (
	"math"

	"onegrain/sim/number"
	"onegrain/studies/draws"
)

// The keys of the quantities, in the order of the sampler's coordinates. Steepness and density are
// those of one family; each further furnace has an offset of its own, behind all others.
const (
	rateA      = "rate_a_mm_per_h"
	exponentA  = "exponent_a"
	equalK     = "equal_rates_K"
	lessC      = "exponent_difference"
	dailyK     = "stray_a_day_K"
	barrier    = "barrier"
	risePerK   = "sites_rise_per_K"
	density    = "density_per_mm3"
	lengths    = "length_scatter"
	scatterK   = "undercooling_scatter_K"
	offsetK    = "furnace_offset_K"
	ninetyPart = 1.6448536269514722 // deviations on either side of the middle in which 90 of 100 lie
)

// Priors are those that nobody has to give, with their support.
func Priors() []Prior {
	return []Prior{
		{rateA, "a faces at 10 K", "mm/h", 0.134, 0.7, true, "Y 0.134, Sm 0.097 in the material table"},
		{exponentA, "exponent", "", 1.6, 0.45, false, "published: 1, 1.9, 2"},
		{equalK, "c faces as fast as a faces at", "K", 20, 4, false, "published: 20 K and 26 K"},
		{lessC, "exponent of a less that of c", "", 0.6, 0.3, false, "published: 1.9 and 1.3, 2 and 1"},
		{dailyK, "one stray a day in 4000 mm³ at", "K", 20, 5, false,
			"Nd 11, Sm 15.5, Y 17 to 22 K; complete in 1 h near 30"},
		{barrier, "barrier / (T ΔT²) there", "", 20, 0.5, true,
			"Sm, Nd 20 to 25; the prefactor is unknown by many powers of ten"},
		{risePerK, "rise of the number of sites there", "1/K", 1.8, 0.5, true, "as steep as a barrier of 20"},
		{density, "sites", "1/mm³", 0.5, math.Ln10 / ninetyPart, true, "one in 20 mm³ to five in 1 mm³"},
		{lengths, "scatter of lengths", "", 0.05, 0.7, true, "widths are read to 0.1 to 0.5 mm"},
		{scatterK, "scatter of undercooling", "K", 0.25, 0.7, true, "repeatability of a furnace"},
		{offsetK, "another furnace than this", "K", 0, 1.4, false,
			"two thermocouples of type S, class 1 (IEC 60584-1: ±1 K each)"},
	}
}

// Change gives a prior another middle, and what 90 in 100 lie within: a factor on either side where
// it is one of the logarithm (more than 1), else a distance.
func (p *Prior) Change(middle, within float64) {
	p.Middle, p.SD = middle, within/ninetyPart
	if p.Log {
		p.SD = number.Log(within) / ninetyPart
	}
}

// value is that of a quantity so many deviations from the middle.
func (p *Prior) value(z float64) float64 {
	if p.Log {
		return float64(p.Middle * number.Exp(float64(p.SD*z)))
	}
	return p.Middle + float64(p.SD*z)
}

// straight is a value on the scale on which the prior is normal.
func (p *Prior) straight(value float64) float64 {
	if p.Log {
		return number.Log(value)
	}
	return value
}

// unknowns are the quantities of one family, each of the sampler's coordinates with its prior.
type unknowns struct {
	family      string
	priors      []*Prior
	at          map[string]int // coordinates by key; that of the first further furnace
	furnaces    int
	peritecticC float64
}

func newUnknowns(family string, priors []Prior, furnaces int, peritecticC float64) *unknowns {
	u := &unknowns{family: family, at: map[string]int{}, furnaces: furnaces, peritecticC: peritecticC}
	of := map[string]string{barrier: draws.Barrier, risePerK: draws.Sites, density: draws.Sites}
	for i := range priors {
		p := &priors[i]
		if f, only := of[p.Key]; only && f != family {
			continue
		}
		n := 1
		if p.Key == offsetK {
			n = furnaces - 1
		}
		u.at[p.Key] = len(u.priors)
		for range n {
			u.priors = append(u.priors, p)
		}
	}
	return u
}

// law is the one at a place of the sampler; ok is false where there is none.
func (u *unknowns) law(z []float64) (l draws.Law, ok bool) {
	value := func(key string) float64 { i := u.at[key]; return u.priors[i].value(z[i]) }
	l = draws.Law{RateA: value(rateA), ExponentA: value(exponentA), LengthScatter: value(lengths),
		ScatterK: value(scatterK), OffsetK: make([]float64, u.furnaces)}
	l.ExponentA = positive(l.ExponentA, leastExponent)
	less := l.ExponentA - positive(l.ExponentA-value(lessC), leastExponent)
	onset := draws.Onset{Family: u.family, DailyK: positive(value(dailyK), leastK)}
	if u.family == draws.Sites {
		onset.Steepness, onset.DensityPerMM3 = value(risePerK), value(density)
	} else {
		onset.Steepness = value(barrier)
	}
	for f := 1; f < u.furnaces; f++ {
		i := u.at[offsetK] + f - 1
		l.OffsetK[f] = u.priors[i].value(z[i])
	}
	l.PutC(positive(value(equalK), leastK), less)
	return l, l.ScatterK < mostScatter && l.LengthScatter < mostScatter && onset.Put(&l, u.peritecticC)
}

// positive is a value, and below some least one something above 0 that falls ever more slowly.
func positive(x, least float64) float64 {
	if x >= least {
		return x
	}
	return float64(least * number.Exp((x-least)/least))
}

// The least exponents of growth and undercoolings that are taken as they come.
const (
	leastExponent = 0.2
	leastK        = 2
)

// mostScatter is beyond what scatters anywhere, in K or as a logarithm.
const mostScatter = 30

// logPrior is the logarithm of the prior at a place of the sampler.
func logPrior(z []float64) (log float64) {
	for _, x := range z {
		log -= float64(0.5*float64(x*x)) + halfLog2Pi
	}
	return log
}

const halfLog2Pi = 0.91893853320467274178
