package measure

import (
	"testing"

	"onegrain/sim"
	"onegrain/sim/body"
	"onegrain/sim/draw"
)

// BenchmarkLook surveys a 24 mm × 8 mm disc of one grain, 450,000 cells.
func BenchmarkLook(b *testing.B) {
	g, err := body.Disc(24, 8, 0.2, body.Solid)
	if err != nil {
		b.Fatal(err)
	}
	on, _ := scene(g, 12)
	on.Programme = held(10, 100)
	o := sim.Seeded(on, draw.NewKey("look"))
	for b.Loop() {
		if !Look(o, 5).Run().SingleGrain {
			b.Fatal("not a single grain")
		}
	}
}
