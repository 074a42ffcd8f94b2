package nucleation

import (
	"crypto/sha256"
	"fmt"
	"math"
	"testing"

	"onegrain/sim/draw"
)

// golden is the SHA-256 of the bits of the events of all scenes: it must not change with the
// processor, GOAMD64 or the compiler.
const golden = "70cc404b6090d139bf7327efdbd7fb58fdc4074f9652828f297dc61192c96673"

func TestSameBitsEverywhere(t *testing.T) {
	hash := func(label string) string {
		h := sha256.New()
		for _, s := range scenes() {
			for _, e := range every(s.odds().Events(draw.NewKey(label, s.name))) {
				o := e.Orientation
				for _, x := range []float64{e.TimeH, e.UndercoolingK, e.AtMM[0], e.AtMM[1], e.AtMM[2], o.W, o.X, o.Y, o.Z,
					float64(e.Origin)} {
					fmt.Fprintf(h, "%x ", math.Float64bits(x))
				}
			}
		}
		return fmt.Sprintf("%x", h.Sum(nil))
	}
	if got := hash("bits"); got != golden {
		t.Errorf("hash of the events is %s, want %s", got, golden)
	}
	if hash("other bits") == golden {
		t.Error("other events have the same hash")
	}
}
