package nucleation

import (
	"onegrain/sim/body"
)

// block is nx·ny·nz cells of h mm around the axis.
func block(nx, ny, nz int, h float64, flat int) *body.Grid {
	n := [3]int{nx, ny, nz}
	rows := ny
	if flat == 1 {
		rows = nz
	}
	return body.NewOutline(n, h, origin(n, h), flat, make([]body.State, nx*rows)) // Inside is the zero state
}

func origin(n [3]int, h float64) [3]float64 {
	return [3]float64{-h * (float64(n[0]) - 1) / 2, -h * (float64(n[1]) - 1) / 2, h / 2}
}

// disc is a cylinder of n cells across with a hole of `hole` cells across (0 = none).
func disc(n, nz int, h, hole float64, flat int) *body.Grid {
	out := make([]body.State, n*n)
	for i := range out {
		x, y := float64(i%n)-float64(n-1)/2, float64(i/n)-float64(n-1)/2
		switch r := x*x + y*y; {
		case r > float64(n*n)/4:
			out[i] = body.Outside
		case r < hole*hole/4:
			out[i] = body.Obstacle
		}
	}
	size := [3]int{n, n, nz}
	return body.NewOutline(size, h, origin(size, h), flat, out)
}

// weigh adds the weights of all cells.
func weigh(g *body.Grid, o Origin) float64 {
	x := extentOf(g, o)
	total := 0.0
	for _, w := range x.weight {
		total += w * float64(x.end-x.first)
	}
	return total
}
