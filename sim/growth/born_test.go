package growth

import "testing"

// Whoever owns a cell was born: a seed, or a nucleus of the list. A late nucleus in a far corner, in a body that is certified whole
// but for a handful of cells, is the case in which the last of these may be captured before it comes.
func TestOwnersWereBorn(t *testing.T) {
	for late := range 12 {
		s := newScene("a seed and a late nucleus", 90, 90, 1, 0.5)
		s.seed(2, s.axes("15"), s.middle()...)
		at := 2 + late
		s.nuclei = append(s.nuclei, Root{At: [3]float64{float64(at), 3, 0}, Half: s.seeds[0].Half, Axes: s.axes("skew"), BornH: 300 + 20*float64(late), Cell: [3]int{at, 3, 0}})
		s.nuclei[0].Half[0], s.nuclei[0].Half[1], s.nuclei[0].Half[2] = 0, 0, 0
		f, born := s.growAs(options{certify: true, bucket: 0.03})
		n := f.front.grid.N
		row := make([]Cell, n[0])
		for y := range n[1] {
			f.Row(y, 0, row)
			for x, c := range row {
				if c.Grain > 0 && (len(born) == 0 || born[0] != int(c.Grain)) {
					t.Fatalf("nucleus at %d: cell (%d, %d) belongs to grain %d, born are %v", at, x, y, c.Grain, born)
				}
			}
		}
	}
}
