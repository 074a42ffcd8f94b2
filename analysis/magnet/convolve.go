package magnet

import (
	"math"

	"gonum.org/v1/gonum/dsp/fourier"
)

// charge is the field, over mu0, right above cell (dx, dy) away, of one cell that is magnetised along z by one unit through the whole
// thickness: that of its top face less that of its bottom face. A face of even charge seen from a place makes a field of its
// solid angle over 4π, so the sum over cells is exact for a magnetisation that is even in each cell. Lengths in one unit.
func charge(dx, dy, cell, height, thickness float64) float64 {
	return (solidAngle(dx, dy, cell, height) - solidAngle(dx, dy, cell, height+thickness)) / (4 * math.Pi)
}

// solidAngle is that of a square cell whose centre is (dx, dy) away, seen from height z above its plane.
func solidAngle(dx, dy, cell, z float64) float64 {
	corner := func(x, y float64) float64 { return math.Atan2(x*y, z*math.Sqrt(x*x+y*y+z*z)) }
	x0, x1, y0, y1 := dx-cell/2, dx+cell/2, dy-cell/2, dy+cell/2
	return corner(x1, y1) - corner(x0, y1) - corner(x1, y0) + corner(x0, y0)
}

// convolve sums, for each cell of an nx × ny map, values times kernel(i, j) of the distance in cells. The kernel is even in both.
func convolve(values []float64, nx, ny int, kernel func(i, j int) float64) []float64 {
	w, h := smooth(2*nx-1), smooth(2*ny-1) // room, so that nothing comes in again from the other side
	a, k := make([]complex128, w*h), make([]complex128, w*h)
	for j := range ny {
		for i := range nx {
			a[j*w+i] = complex(values[j*nx+i], 0)
			x := complex(kernel(i, j), 0)
			up, left := (h-j)%h, (w-i)%w
			k[j*w+i], k[up*w+i], k[j*w+left], k[up*w+left] = x, x, x, x
		}
	}
	transform(a, w, h, true)
	transform(k, w, h, true)
	for u := range a {
		a[u] *= k[u]
	}
	transform(a, w, h, false)
	out := make([]float64, nx*ny)
	for j := range ny {
		for i := range nx {
			out[j*nx+i] = real(a[j*w+i]) / float64(w*h)
		}
	}
	return out
}

// transform is the Fourier transform in both directions, in place, or its inverse times the number of values.
func transform(a []complex128, w, h int, forward bool) {
	along := func(f *fourier.CmplxFFT, line []complex128) {
		if forward {
			f.Coefficients(line, line)
		} else {
			f.Sequence(line, line)
		}
	}
	rows, columns := fourier.NewCmplxFFT(w), fourier.NewCmplxFFT(h)
	for j := range h {
		if line := a[j*w : (j+1)*w]; !empty(line) {
			along(rows, line)
		}
	}
	const few = 8 // columns at a time, so that whole cache lines are read
	lines := make([]complex128, few*h)
	for i := 0; i < w; i += few {
		n := min(few, w-i)
		for j := range h {
			for c := range n {
				lines[c*h+j] = a[j*w+i+c]
			}
		}
		for c := range n {
			along(columns, lines[c*h:(c+1)*h])
		}
		for j := range h {
			for c := range n {
				a[j*w+i+c] = lines[c*h+j]
			}
		}
	}
}

// empty tells whether a line is all zero, as half of the rows are before the first transform.
func empty(line []complex128) bool {
	for _, x := range line {
		if x != 0 {
			return false
		}
	}
	return true
}

// smooth is the least number from n that has no prime factor above 5: transforms of such lengths are fast.
func smooth(n int) int {
	for ; ; n++ {
		rest := n
		for _, p := range []int{2, 3, 5} {
			for rest%p == 0 {
				rest /= p
			}
		}
		if rest == 1 {
			return n
		}
	}
}
