package kinetics

import "testing"

func BenchmarkLength(b *testing.B) {
	a, _ := faces()
	for b.Loop() {
		Length(a, 8, 19, 30)
	}
}

func BenchmarkTime(b *testing.B) {
	a, _ := faces()
	for b.Loop() {
		Time(a, 8, 0.4, 11)
	}
}
