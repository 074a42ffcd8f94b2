package nucleation

import (
	"testing"

	"onegrain/sim/draw"
	"onegrain/sim/furnace"
)

// One replicate of a puck of 24 mm × 8 mm in cells of 0.2 mm: the first 20 events.
func BenchmarkReplicate(b *testing.B) {
	m := Model{Melt: barrierOf(1.1e4, 1.12e7, 1283.15), Top: barrierOf(1, 1e7, 1283.15), Side: barrierOf(1, 1e7, 1283.15)}
	g := disc(120, 40, 0.2, 0, -1)
	list := func(e *Events) {
		for range 20 {
			e.Next()
		}
	}
	for name, grad := range map[string]furnace.Gradient{"uniform": {}, "vertical": {VerticalKPerMM: 0.3},
		"radial": {RadialKPerMM: 0.1}, "both": {VerticalKPerMM: 0.3, RadialKPerMM: 0.1}} {
		odds := NewOdds(m, g, furnace.Cooling{Programme: cycle(), Gradient: grad})
		b.Run(name+"/anew", func(b *testing.B) {
			for b.Loop() {
				list(NewOdds(m, g, furnace.Cooling{Programme: cycle(), Gradient: grad}).Events(draw.NewKey("bench")))
			}
		})
		b.Run(name+"/shared", func(b *testing.B) {
			for b.Loop() {
				list(odds.Events(draw.NewKey("bench")))
			}
		})
	}
}
