package sample

import (
	"strconv"

	"onegrain/sim/draw"
)

// Latin is a Latin hypercube (M. D. McKay, R. J. Beckman, W. J. Conover, Technometrics 21 (1979)
// 239).
type Latin struct {
	key    draw.Key
	labels []string
	order  [][]int32 // of each axis: the slice of every point
}

// NewLatin is a Latin hypercube of n points, 1 ≤ n < 2³¹, with an axis for each label.
func NewLatin(n int, labels []string, key draw.Key) *Latin {
	l := &Latin{key: key, labels: labels, order: make([][]int32, len(labels))}
	for k, label := range labels {
		l.order[k] = shuffled(n, key.Stream("order "+label))
	}
	return l
}

// shuffled is 0 … n−1 in an order of which each is as likely (R. A. Fisher and F. Yates; R.
// Durstenfeld, Commun. ACM 7 (1964) 420).
func shuffled(n int, s *draw.Stream) []int32 {
	order := make([]int32, n)
	for i := range order {
		j := s.Index(i + 1)
		order[i], order[j] = order[j], int32(i)
	}
	return order
}

// Point i, 0 ≤ i < n, has a coordinate in [0, 1) for each axis, anywhere in its slice.
func (l *Latin) Point(i int) []float64 {
	x := make([]float64, len(l.order))
	for k, order := range l.order {
		u := l.key.Stream("place " + l.labels[k] + " " + strconv.Itoa(i)).Uniform()
		x[k] = (float64(order[i]) + u) / float64(len(order))
		if x[k] >= 1 {
			x[k] = 1 - 0x1p-53 // rounded up
		}
	}
	return x
}
