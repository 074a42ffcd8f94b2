package sample

import (
	"math"
	"slices"
	"sort"

	"onegrain/sim/number"
)

// smooth replaces the largest of some weights, given by their logarithms, by what a generalised
// Pareto distribution with their tail expects at their ranks, and tells its shape k: below 0.7 the
// weights' means can be trusted. Fewer than 25 weights stay as they are, with k = +Inf.
func smooth(log []float64) (k float64) {
	n := len(log)
	tail := int(min(float64(n)/5, math.Ceil(float64(3*math.Sqrt(float64(n))))))
	if tail < 5 {
		return math.Inf(1)
	}
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(i, j int) bool { return log[order[i]] < log[order[j]] })
	top := log[order[n-1]]
	cut := number.Exp(log[order[n-tail-1]] - top)
	over := make([]float64, tail) // by how much the largest exceed the rest, ascending
	for i := range over {
		over[i] = number.Exp(log[order[n-tail+i]]-top) - cut
	}
	if math.IsInf(top, -1) || !(over[0] < over[tail-1]) {
		return math.Inf(-1) // all alike: no tail
	}
	k, sigma := pareto(over)
	if k != k || math.IsInf(k, 0) {
		return math.Inf(1)
	}
	for i := range over {
		p := (float64(i) + 0.5) / float64(tail)
		x := float64(-sigma * number.Log(1-p))
		if k != 0 {
			x = float64(sigma/k) * (number.Exp(float64(-k*number.Log(1-p))) - 1)
		}
		log[order[n-tail+i]] = math.Min(0, number.Log(cut+x)) + top
	}
	return k
}

// pareto fits a generalised Pareto distribution to ascending values above 0: an average over its
// profile likelihood (Zhang and Stephens), its shape drawn towards 0.5 by ten values' worth
// (Vehtari et al., appendix G).
func pareto(x []float64) (k, sigma float64) {
	n := len(x)
	grid := 30 + int(math.Sqrt(float64(n)))
	quartile := x[int(float64(n)/4+0.5)-1]
	last := x[n-1]
	shapeAt := func(theta float64) (k float64) {
		for _, y := range x {
			k += number.Log(1 - float64(theta*y))
		}
		return k / float64(n)
	}
	thetas, logs := make([]float64, grid), make([]float64, grid)
	for j := range thetas {
		theta := 1/last + (1-math.Sqrt(float64(grid)/(float64(j)+0.5)))/float64(3*quartile)
		k := shapeAt(theta)
		thetas[j], logs[j] = theta, float64(float64(n)*(number.Log(-theta/k)-k-1))
	}
	most := slices.Max(logs)
	sum, theta := 0.0, 0.0
	for j, l := range logs {
		w := number.Exp(l - most)
		sum += w
		theta += float64(w * thetas[j])
	}
	theta /= sum
	k = shapeAt(theta)
	sigma = -k / theta
	return (float64(k*float64(n)) + 5) / float64(n+10), sigma
}
