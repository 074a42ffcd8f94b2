package likelihood

import "math"

// mostNodes is at how many shifts a run is asked at most.
const mostNodes = 9

// never is the logarithm of a number of strays, or of a length, that counts as none; below nearly
// none a polynomial would swing.
const (
	never      = -200
	nearlyNone = -40
)

// curve is a polynomial through values at even steps on both sides of 0, as Newton's forward
// differences. Where a value is as good as none it is straight between them.
type curve struct {
	v        [mostNodes]float64
	n        int
	straight bool
}

func (c *curve) put(i int, x float64) {
	c.v[i] = math.Max(never, x) // of NaN too
	if c.v[i] != c.v[i] {
		c.v[i] = never
	}
}

// close turns n values into differences.
func (c *curve) close(n int) {
	c.n = n
	for _, x := range c.v[:n] {
		c.straight = c.straight || x < nearlyNone
	}
	for order := 1; order < n && !c.straight; order++ {
		for i := n - 1; i >= order; i-- {
			c.v[i] = (c.v[i] - c.v[i-1]) / float64(order)
		}
	}
}

// at is the value so many steps from the first.
func (c *curve) at(t float64) float64 {
	if c.straight {
		i := min(c.n-2, max(0, int(t)))
		return c.v[i] + float64((t-float64(i))*(c.v[i+1]-c.v[i]))
	}
	y := c.v[c.n-1]
	for i := c.n - 2; i >= 0; i-- {
		y = c.v[i] + float64((t-float64(i))*y)
	}
	return y
}
