package liquid

import (
	"slices"
	"sort"
)

// reached is how many points a length has passed whole, and which part of the next.
func reached(points []float64, x float64) (whole int, part float64) {
	n := len(points)
	end := func(i int) float64 { // where point i is passed whole
		switch {
		case n == 1:
			return points[0]
		case i == n-1:
			return points[i] + float64(0.5*(points[i]-points[i-1]))
		case i < 0:
			return max(0, points[0]-float64(0.5*(points[1]-points[0])))
		case i == 0 && points[0] == 0 && n > 2: // under the patch
			return max(0, points[1]-float64(0.5*(points[2]-points[1])))
		}
		return float64(0.5 * (points[i] + points[i+1]))
	}
	whole = sort.Search(n, func(i int) bool { return end(i) > x })
	if whole == n {
		return n, 0
	}
	first := end(whole - 1)
	if whole == 0 && points[0] == 0 {
		first = 0
	}
	if !(x > first) {
		return whole, 0
	}
	if part = (x - first) / (end(whole) - first); whole == n-1 && part >= 1 {
		return n, 0
	}
	return whole, part
}

// alike are rows of n weights.
func alike(weight []float64, n int) (rows [][]float64) {
	var last []float64
	for ; len(weight) > 0; weight = weight[n:] {
		row := weight[:n]
		switch {
		case !slices.ContainsFunc(row, func(x float64) bool { return x != 0 }):
			row = nil
		case last != nil && slices.Equal(row, last):
			row = last
		default:
			last = row
		}
		rows = append(rows, row)
	}
	return rows
}
