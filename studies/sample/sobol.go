package sample

import (
	"fmt"
	"math/bits"

	"onegrain/sim/draw"
)

// MostAxes is how many axes a Sobol sequence may have.
const MostAxes = 40

// Digits of a coordinate, and of the number of a point, which is below 2³¹.
const (
	digits  = 53
	columns = 31
)

// Sobol is a Sobol sequence in base 2, in the order of the Gray code, scrambled after J. Matoušek
// (J. Complexity 14 (1998) 527): the digits of every axis are multiplied by a random lower
// triangular matrix and then shifted by random digits.
type Sobol struct{ axes []generator }

// generator makes one coordinate: the columns of its matrix as binary fractions of 53 digits, and
// the shift.
type generator struct {
	column [columns]uint64
	shift  uint64
}

// NewSobol is a scrambled Sobol sequence with an axis for each label. The error says that there are
// too many.
func NewSobol(labels []string, key draw.Key) (*Sobol, error) {
	s, err := plainSobol(len(labels))
	if err != nil {
		return nil, err
	}
	for k, label := range labels {
		s.axes[k].scramble(key.Stream("scramble " + label))
	}
	return s, nil
}

// plainSobol is the sequence as Joe and Kuo publish it.
func plainSobol(axes int) (*Sobol, error) {
	if axes > MostAxes {
		return nil, fmt.Errorf("a Sobol sequence of %d axes: wanted at most %d", axes, MostAxes)
	}
	s, table := &Sobol{axes: make([]generator, axes)}, joeKuo()
	for k := range s.axes {
		s.axes[k].column = directions(table[k])
	}
	return s, nil
}

// directions continues the direction numbers of an axis by the recurrence of its polynomial (P.
// Bratley, B. L. Fox, ACM Trans. Math. Softw. 14 (1988) 88, equation 2).
func directions(p polynomial) (v [columns]uint64) {
	degree := len(p.first)
	for k := range v {
		if degree == 0 {
			v[k] = 1 << (digits - 1 - k) // the first axis: the digits in reverse
			continue
		}
		if k < degree {
			v[k] = p.first[k] << (digits - 1 - k)
			continue
		}
		v[k] = v[k-degree] ^ v[k-degree]>>degree
		for j := 1; j < degree; j++ {
			if p.inner>>(degree-1-j)&1 == 1 {
				v[k] ^= v[k-j]
			}
		}
	}
	return v
}

// scramble multiplies every column by one random lower triangular matrix with ones in its diagonal,
// and draws the shift.
func (g *generator) scramble(s *draw.Stream) {
	mixed := [columns]uint64{}
	for d := range digits {
		bit := uint64(1) << (digits - 1 - d)
		row := random(s)&^(2*bit-1) | bit // earlier digits at random, this one, none that follow
		for k, v := range g.column {
			mixed[k] |= uint64(bits.OnesCount64(row&v)&1) * bit
		}
	}
	g.column, g.shift = mixed, random(s)
}

// random is 53 random digits.
func random(s *draw.Stream) uint64 { return uint64(s.Uniform() * (1 << digits)) }

// Point i, 0 ≤ i < 2³¹, has a coordinate in [0, 1) for each axis.
func (s *Sobol) Point(i int) []float64 {
	x := make([]float64, len(s.axes))
	gray := uint64(i) ^ uint64(i)>>1
	for k := range s.axes {
		y := s.axes[k].shift
		for rest := gray; rest > 0; rest &= rest - 1 {
			y ^= s.axes[k].column[bits.TrailingZeros64(rest)]
		}
		x[k] = float64(y) * (1.0 / (1 << digits))
	}
	return x
}
