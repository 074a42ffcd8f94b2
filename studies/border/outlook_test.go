package border

import "testing"

func BenchmarkOutlook(b *testing.B) {
	c := &Converter{}
	for _, extra := range []string{"", "[gradient]\nvertical_K_per_mm = 0.1\n"} {
		d := document(b, base+"[[seed]]\nsize_mm = [4, 4]\n"+extra)
		b.Run(extra, func(b *testing.B) {
			for b.Loop() {
				c.Look(d)
			}
		})
	}
}
