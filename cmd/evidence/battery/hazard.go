package battery

import (
	"fmt"
	"math"
	"sort"

	"gonum.org/v1/gonum/integrate/quad"
)

// nuclei is a nucleation law as a study has it and as a formula: events per mm³ (in the plane mm²)
// while the undercooling goes from u with a slope in K/h, at its highest so far where that matters.
type nuclei interface {
	rate(u, slope float64) float64 // per mm³ h
	toml(unit string) string       // the lines of [nucleation.melt]; unit is mm3 or mm2
}

// barrier is I = prefactor exp(−b/(T ΔT²)), T in kelvin.
type barrier struct{ prefactor, b float64 }

func (l barrier) rate(u, _ float64) float64 {
	if u <= 0 {
		return 0
	}
	return l.prefactor * math.Exp(-l.b/((peritecticK-u)*u*u))
}

func (l barrier) toml(unit string) string {
	return fmt.Sprintf("law = \"barrier\"\nprefactor_per_%s_h = %v\nbarrier_K3 = %v\n", unit, l.prefactor, l.b)
}

// sites is a Gaussian density of sites over undercooling, each starting once, for programmes that
// never reheat.
type sites struct{ density, mean, spread float64 }

func (l sites) rate(u, slope float64) float64 {
	if u <= 0 || slope <= 0 {
		return 0
	}
	z := (u - l.mean) / l.spread
	return slope * l.density / (l.spread * math.Sqrt(2*math.Pi)) * math.Exp(-z*z/2)
}

func (l sites) toml(unit string) string {
	return fmt.Sprintf("law = \"sites\"\ndensity_per_%s = %v\nmean_undercooling_K = %v\nspread_K = %v\n",
		unit, l.density, l.mean, l.spread)
}

// linear is a rate that grows with the undercooling from 0 K up to top, or is constant from the
// start where flat.
type linear struct {
	perK, top float64
	flat      bool
}

func (l linear) rate(u, _ float64) float64 {
	if u <= 0 {
		return 0
	}
	if l.flat {
		return l.perK * l.top
	}
	return l.perK * math.Min(u, l.top)
}

// toml has the constant rate begin a millionth of a kelvin below the peritectic: at 0 K itself a
// study allows no rate.
func (l linear) toml(unit string) string {
	const low = 1e-6
	first := l.rate(low, 0)
	return fmt.Sprintf("law = \"table\"\nundercooling_K = [%v, %v]\nrate_per_%s_h = [%v, %v]\n",
		low, l.top, unit, first, l.perK*l.top)
}

// moment is a time with the weight of a quadrature over the programme.
type moment struct{ t, u, slope, weight float64 }

// moments are Gauss points, n·8 on each straight piece of the programme up to an hour.
func moments(p programme, until float64, n int) (all []moment) {
	k := p.knots()
	x, w := make([]float64, 8), make([]float64, 8)
	for i := 1; i < len(k) && k[i-1].t < until; i++ {
		end := math.Min(until, k[i].t)
		if !(end > k[i-1].t) {
			continue
		}
		slope := (k[i].u - k[i-1].u) / (k[i].t - k[i-1].t)
		for part := range n {
			from := k[i-1].t + (end-k[i-1].t)*float64(part)/float64(n)
			to := k[i-1].t + (end-k[i-1].t)*float64(part+1)/float64(n)
			quad.Legendre{}.FixedLocations(x, w, from, to)
			for j := range x {
				all = append(all, moment{x[j], k[i-1].u + slope*(x[j]-k[i-1].t), slope, w[j]})
			}
		}
	}
	return all
}

// integral is a running integral over time, to be read between its nodes.
type integral struct{ t, sum []float64 }

// at is linear between the nodes.
func (c integral) at(t float64) float64 {
	i := sort.SearchFloat64s(c.t, t)
	switch {
	case i == 0:
		return c.sum[0]
	case i == len(c.t):
		return c.sum[i-1]
	}
	f := (t - c.t[i-1]) / (c.t[i] - c.t[i-1])
	return c.sum[i-1] + f*(c.sum[i]-c.sum[i-1])
}

// total is the whole integral.
func (c integral) total() float64 { return c.sum[len(c.sum)-1] }

// expected is Λ(t) = ∫ I V dt in a number of parts, where liquid is the volume that a seeded grain
// has left after its faces have grown la and lc.
func expected(l nuclei, a, c growthLaw, p programme, until float64, parts int,
	liquid func(la, lc float64) float64) integral {
	sum := integral{[]float64{0}, []float64{0}}
	total, done, k := 0.0, 0.0, p.knots()
	for i, m := range moments(p, until, parts) {
		total += m.weight * l.rate(m.u, m.slope) * liquid(along(a, k, m.t), along(c, k, m.t))
		done += m.weight
		if i%8 == 7 {
			sum.t, sum.sum = append(sum.t, done), append(sum.sum, total)
		}
	}
	return sum
}
