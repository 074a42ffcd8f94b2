package magnet

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/dsp/fourier"
)

// charge is the field, over mu0, right above cell (dx, dy) away, of one cell that is magnetised
// along z by one unit through the whole thickness: that of its top face less that of its bottom
// face. A face of even charge seen from a place makes a field of its solid angle over 4π, so the
// sum over cells is exact for a magnetisation that is even in each cell. Lengths in one unit.
func charge(dx, dy, cell, height, thickness float64) float64 {
	return (solidAngle(dx, dy, cell, height) - solidAngle(dx, dy, cell, height+thickness)) / (4 * math.Pi)
}

// solidAngle is that of a square cell whose centre is (dx, dy) away, seen from height z above its
// plane.
func solidAngle(dx, dy, cell, z float64) float64 {
	corner := func(x, y float64) float64 { return math.Atan2(x*y, z*math.Sqrt(x*x+y*y+z*z)) }
	x0, x1, y0, y1 := dx-cell/2, dx+cell/2, dy-cell/2, dy+cell/2
	return corner(x1, y1) - corner(x0, y1) - corner(x1, y0) + corner(x0, y0)
}

// convolve sums, for each cell of an nx × ny map, values times kernel(i, j) of the distance in
// cells. The kernel is even in both.
func convolve(values []float64, nx, ny int, kernel func(i, j int) float64) []float64 {
	w, h := smooth(2*nx-1), smooth(2*ny-1) // room, so that nothing comes in again from the other side
	a, k, room := make([]complex128, w*h), make([]complex128, w*h), make([]complex128, w*h)
	for j := range ny {
		for i := range nx {
			a[j*w+i] = complex(values[j*nx+i], 0)
			x := complex(kernel(i, j), 0)
			up, left := (h-j)%h, (w-i)%w
			k[j*w+i], k[up*w+i], k[j*w+left], k[up*w+left] = x, x, x, x
		}
	}
	rows, columns := fourier.NewCmplxFFT(w), fourier.NewCmplxFFT(h)
	for _, x := range [][]complex128{a, k} {
		turn(room, x, w, h, rows.Coefficients)
		turn(x, room, h, w, columns.Coefficients)
	}
	for u := range a {
		a[u] *= k[u]
	}
	turn(room, a, w, h, rows.Sequence)
	turn(a, room, h, w, columns.Sequence)
	out := make([]float64, nx*ny)
	for j := range ny {
		for i := range nx {
			out[j*nx+i] = real(a[j*w+i]) / float64(w*h)
		}
	}
	return out
}

// turn transforms the h rows of w values of a in place, and writes them into out as columns: some
// rows at a time, so that whole cache lines are written. Rows of zeros, as half of them are at
// first, stay so.
func turn(out, a []complex128, w, h int, transform func(dst, row []complex128) []complex128) {
	const together = 8
	for j := 0; j < h; j += together {
		some := a[j*w : min(j+together, h)*w]
		for k := 0; k < len(some); k += w {
			if row := some[k : k+w]; slices.ContainsFunc(row, func(x complex128) bool { return x != 0 }) {
				transform(row, row)
			}
		}
		for i := range w {
			for k := i; k < len(some); k += w {
				out[i*h+j+k/w] = some[k]
			}
		}
	}
}

// smooth is the least number from n that has no prime factor above 5: transforms of such lengths
// are fast.
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
