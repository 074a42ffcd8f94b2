package border

import (
	"strings"
	"testing"
)

// Under a gradient a crowded body needs more than twice the memory, which decides what is refused and what is counted with. 40 · 40 · 16
// cells: 870 kB without, 2.0 MB with a gradient. Canary: a gradient of 0 is none.
func TestMemoryUnderAGradient(t *testing.T) {
	const cells = 40 * 40 * 16
	for gradient, each := range map[string]int64{"": plainBytes, "[gradient]\nvertical_K_per_mm = 0\n": plainBytes, "[gradient]\nvertical_K_per_mm = 0.1\n": gradedBytes, "[gradient]\nradial_K_per_mm = -0.1\n": gradedBytes} {
		d := document(t, base+"[[seed]]\nsize_mm = [4, 4]\n"+gradient)
		if got := (&Converter{}).Bytes(d); got != cells*each {
			t.Errorf("%q: %d bytes, wanted %d", gradient, got, cells*each)
		}
		tight, roomy := &Converter{Memory: cells*each - 1}, &Converter{Memory: cells * each}
		if _, found := roomy.Draft(d); len(found) > 0 {
			t.Errorf("%q: with %d bytes refused: %v", gradient, roomy.Memory, found)
		}
		if _, found := tight.Draft(d); len(found) == 0 || !strings.Contains(found[0].Wanted, "need") {
			t.Errorf("%q: with %d bytes not refused: %v", gradient, tight.Memory, found)
		}
	}
}
