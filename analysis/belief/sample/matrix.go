package sample

import "math"

// matrix is a square matrix by rows.
type matrix [][]float64

func newMatrix(n int) matrix {
	m, all := make(matrix, n), make([]float64, n*n)
	for i := range m {
		m[i] = all[i*n : (i+1)*n]
	}
	return m
}

// dot is the sum of products.
func dot(a, b []float64) (sum float64) {
	for i, x := range a {
		sum += float64(x * b[i])
	}
	return sum
}

// times is m·x.
func (m matrix) times(x []float64) []float64 {
	y := make([]float64, len(m))
	for i, row := range m {
		y[i] = dot(row, x)
	}
	return y
}

// eigen are the eigenvalues of a symmetric matrix and its eigenvectors, the rows of v, by Jacobi's
// rotations (G. H. Golub, C. F. Van Loan, Matrix Computations, ch. 8.5). The matrix is used up.
func (m matrix) eigen() (values []float64, v matrix) {
	n := len(m)
	v = newMatrix(n)
	for i := range v {
		v[i][i] = 1
	}
	for range 30 {
		off, all := 0.0, 0.0
		for i, row := range m {
			for j, x := range row {
				if all += float64(x * x); i != j {
					off += float64(x * x)
				}
			}
		}
		if off <= float64(1e-28*all) {
			break
		}
		for p := range n {
			for q := p + 1; q < n; q++ {
				m.rotate(v, p, q)
			}
		}
	}
	for i := range m {
		values = append(values, m[i][i])
	}
	return values, v
}

// rotate makes m[p][q] zero.
func (m matrix) rotate(v matrix, p, q int) {
	if m[p][q] == 0 {
		return
	}
	theta := (m[q][q] - m[p][p]) / float64(2*m[p][q])
	t := math.Copysign(1, theta) / (math.Abs(theta) + math.Sqrt(float64(theta*theta)+1))
	c := 1 / math.Sqrt(float64(t*t)+1)
	s := float64(t * c)
	turn := func(a, b *float64) { *a, *b = float64(c**a)-float64(s**b), float64(s**a)+float64(c**b) }
	for k := range m {
		turn(&m[k][p], &m[k][q])
	}
	for k := range m {
		turn(&m[p][k], &m[q][k])
		turn(&v[p][k], &v[q][k])
	}
}

// shape is an ellipsoid: a middle and the half axes around it, the rows of axes.
type shape struct {
	middle []float64
	axes   matrix
	logDet float64 // of the axes
}

// newShape is that of a symmetric matrix whose eigenvalues are turned into lengths of half axes.
func newShape(middle []float64, m matrix, length func(eigenvalue float64) (half, log float64)) *shape {
	s := &shape{middle: middle}
	values, v := m.eigen()
	for i, x := range values {
		half, log := length(x)
		s.logDet += log
		for j := range v[i] {
			v[i][j] = float64(half * v[i][j])
		}
	}
	s.axes = v
	return s
}

// at is the place that is z half axes from the middle.
func (s *shape) at(z []float64) []float64 {
	x := make([]float64, len(z))
	copy(x, s.middle)
	for i, axis := range s.axes {
		for j, a := range axis {
			x[j] += float64(z[i] * a)
		}
	}
	return x
}

// round4 keeps four digits, so that a last bit which differs between processors is gone.
func round4(x float64) float64 {
	if x == 0 || math.IsInf(x, 0) || x != x {
		return x
	}
	e := 0
	a := math.Abs(x)
	for ; a >= 1e4; e++ {
		a /= 10
	}
	for ; a < 1e3; e-- {
		a *= 10
	}
	a = math.Floor(a + 0.5)
	for ; e > 0; e-- {
		a *= 10
	}
	for ; e < 0; e++ {
		a /= 10
	}
	return math.Copysign(a, x)
}
