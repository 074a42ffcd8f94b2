package draws

import (
	"math"
	"slices"

	"onegrain/sim/number"
)

// Middle is one law in the midst of many: of the family that more of them belong to, the medians of
// the coordinates in which laws are learnt, turned into a law.
func Middle(laws []Law, peritecticC float64) Law {
	var of []Law
	for _, family := range []string{Barrier, Sites} {
		same := slices.DeleteFunc(slices.Clone(laws), func(l Law) bool { return l.Family != family })
		if len(same) > len(of) {
			of = same
		}
	}
	if len(of) == 0 {
		return Law{}
	}
	median := func(value func(l Law) float64) float64 {
		all := make([]float64, len(of))
		for i, l := range of {
			all[i] = value(l)
		}
		slices.Sort(all)
		n := len(all)
		return float64(0.5 * (all[(n-1)/2] + all[n/2]))
	}
	onset := func(value func(o Onset) float64) float64 {
		return median(func(l Law) float64 { return value(OnsetOf(l, peritecticC)) })
	}
	m := Law{RateA: median(func(l Law) float64 { return l.RateA }),
		ExponentA:     median(func(l Law) float64 { return l.ExponentA }),
		LengthScatter: median(func(l Law) float64 { return l.LengthScatter }),
		ScatterK:      median(func(l Law) float64 { return l.ScatterK })}
	m.PutC(median(EqualK), median(func(l Law) float64 { return l.ExponentA - l.ExponentC }))
	for f := range of[0].OffsetK {
		m.OffsetK = append(m.OffsetK, median(func(l Law) float64 { return l.OffsetK[f] }))
	}
	Onset{of[0].Family, onset(func(o Onset) float64 { return o.DailyK }),
		onset(func(o Onset) float64 { return o.Steepness }),
		median(func(l Law) float64 { return l.DensityPerMM3 })}.Put(&m, peritecticC)
	return m
}

// PutC makes c faces grow as fast as a faces at an undercooling, with an exponent that is less by
// some amount.
func (l *Law) PutC(equalK, less float64) {
	l.ExponentC = l.ExponentA - less
	l.RateC = float64(l.RateA * number.Pow(equalK/10, less))
}

// EqualK is the undercooling at which both faces grow at one rate; +Inf or NaN where none is.
func EqualK(l Law) float64 {
	if l.ExponentA == l.ExponentC {
		return math.NaN()
	}
	return float64(10 * number.Pow(l.RateC/l.RateA, 1/(l.ExponentA-l.ExponentC)))
}
