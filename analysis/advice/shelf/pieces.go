package shelf

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"onegrain/analysis/advice"
)

// Elsewhere is a choice in another furnace.
type Elsewhere struct {
	NoStray float64 `json:"chance_without_strays"`
	Chance  float64 `json:"chance"` // and full by the end
}

// In is what becomes of a choice where each law has a shift of its own besides.
func (t *Task) In(c *Choice, shiftK func(law int) float64) (e Elsewhere) {
	for _, law := range c.judge {
		by := Own()
		by.OtherK = shiftK(law)
		o := t.Follow(c.Points, law, by)
		x := math.Exp(-o.ExpectedStrays) / float64(len(c.judge))
		if e.NoStray += x; !math.IsInf(o.FullH, 1) {
			e.Chance += x
		}
	}
	return e
}

// scatters stand for the scatter from run to run: five quantiles of a standard normal, each as
// likely as the other.
func scatters() (z []float64) {
	for i := range 5 {
		z = append(z, distuv.UnitNormal.Quantile((float64(i)+0.5)/5))
	}
	return z
}

// mostTimes as many pieces as are wanted are started at most: more would be no plan. Of the laws so
// many are looked at.
const (
	mostTimes = 20
	pieceLaws = 200
)

// Pieces is the least number to start of which `good` are good with a probability, in the mean over
// some laws, where perRun pieces share a load of the furnace and with it its scatter. 0 where
// twenty times as many would not be enough.
func (t *Task) Pieces(points []advice.Point, laws []int, good, perRun int, sure float64) int {
	laws = some(laws, pieceLaws)
	loads := make([][]float64, len(laws)) // chances of a piece by the scatter of a load
	for i, law := range laws {
		for _, z := range scatters() {
			o := t.Follow(points, law, Shift{RunSD: z})
			x := math.Exp(-o.ExpectedStrays)
			if math.IsInf(o.FullH, 1) {
				x = 0
			}
			loads[i] = append(loads[i], x)
		}
	}
	enough := func(n int) bool {
		p := 0.0
		for _, chances := range loads {
			p += atLeast(good, n, perRun, chances) / float64(len(loads))
		}
		return p >= sure
	}
	high := good
	for ; !enough(high); high *= 2 {
		if high > mostTimes*good {
			return 0
		}
	}
	low := high / 2
	for high-low > 1 {
		if mid := (low + high) / 2; mid >= good && enough(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return high
}

// JudgingLaws are those that a choice was not made by.
func (c *Choice) JudgingLaws() []int { return c.judge }

// atLeast is the probability of so many good ones among n in loads of perRun, each load with one of
// some chances. It counts those that fail: at most n − good.
func atLeast(good, n, perRun int, chances []float64) float64 {
	fail := n - good
	have := make([]float64, fail+1) // probability of so many failed
	have[0] = 1
	for left := n; left > 0; left -= perRun {
		size := min(perRun, left)
		next := make([]float64, fail+1)
		for _, p := range chances {
			law := distuv.Binomial{N: float64(size), P: 1 - p}
			for k := 0; k <= size && k <= fail; k++ {
				w := law.Prob(float64(k)) / float64(len(chances))
				if p == 1 || p == 0 {
					if w = 0; p == 1 && k == 0 || p == 0 && k == size {
						w = 1 / float64(len(chances))
					}
				}
				for j := 0; j+k <= fail; j++ {
					next[j+k] += w * have[j]
				}
			}
		}
		have = next
	}
	sum := 0.0
	for _, x := range have {
		sum += x
	}
	return sum
}
