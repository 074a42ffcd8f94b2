package battery

import (
	"fmt"
	"math"

	"onegrain/analysis/evidence"
	"onegrain/analysis/evidence/door"
)

// lengths is item 1: the grown length along ramps and holds, and its inverse.
func lengths() evidence.Item {
	return evidence.Item{
		Number: 1, Name: "Grown length along ramps and holds",
		Source:  "elementary integral of R = r (ΔT/10 K)^n along ΔT = d + c t, and its inverse; piecewise programmes add",
		Settles: "that growth laws are integrated along the programme without error of a time step",
		Cannot:  "whether a power of the undercooling is the law of a real melt",
		Check:   checkLengths,
	}
}

func checkLengths(d *door.Door, s evidence.Size) ([]evidence.Finding, error) {
	const n, rate, cool, side = 1.9, 0.134, 0.5, 30.0
	r, err := d.Run("lengths-plane", fmt.Sprintf(`
[material]
peritectic_C = 1010
growth_a = {law = "power", rate_at_10K_mm_per_h = %g, exponent = %g}
growth_c = {law = "power", rate_at_10K_mm_per_h = %g, exponent = %g}
[body]
shape = "block"
plane = "ab"
size_mm = [%g, %g]
cell_mm = 0.25
[[seed]]
size_mm = [3, 3]
[schedule]
start_C = 1010
[[schedule.stage]]
to_undercooling_K = 40
rate_K_per_h = %g
[nucleation.melt]
law = "none"
`, rate, n, rate, n, side, side, cool))
	if err != nil {
		return nil, err
	}
	x, err := r.Numbers("runs", "time_to_full_h")
	if err != nil {
		return nil, err
	}
	full := func(n float64) float64 { // until the last cell's centre
		return math.Pow((side-3)/2*(n+1)/(rate*math.Pow(cool/10, n)), 1/(n+1))
	}
	return []evidence.Finding{evidence.Finding{
		Quantity: "time to full", Where: "2D, square, power law, ramp from 0 K", Source: "inverse of item 1", Unit: "h",
		Comparison: evidence.Comparison{Expected: full(n), Found: x[0][0], Tolerance: 0.5},
		Because:    "half a cell of the last row", Sample: "1 run",
	}.Against("exponent +0.1", full(n+0.1))}, nil
}
