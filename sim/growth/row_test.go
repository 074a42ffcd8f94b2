package growth

import (
	"math"
	"testing"
)

// TestRowsAreReadAsCellsAre: a row told by the faces that lead along it has, bit by bit, the
// sectors and times that every cell has by itself: free grains of odd and of straight orientations,
// in a plane and in space, with a rim, a hole, nuclei and boundaries. Canary: the opposite face
// leading.
func TestRowsAreReadAsCellsAre(t *testing.T) {
	var scenes []*scene
	for _, axes := range []string{"0", "skew"} {
		scenes = append(scenes, newScene("turned by "+axes+" in space", 37, 35, 33, 0.5).seed(1.2,
			newScene("", 9, 9, 9, 1).axes(axes), 18.3, 17, 30))
	}
	for _, deg := range []float64{0, 45, 30} {
		scenes = append(scenes, newScene("in a plane", 90, 70, 1, 0.5).seed(2, inPlane(deg), 31, 42, 0))
	}
	ring := newScene("ring", 64, 64, 24, 0.7).ring()
	scenes = append(scenes, ring.seed(2, ring.axes("skew"), 8, 32, 20),
		newScene("strays", 48, 48, 48, 1.5).spread(4, 1).strays(12))
	opposed := 0
	for _, s := range scenes {
		f, _ := s.grow()
		known, wrong := 0, 0
		n := f.front.grid.N
		row, opposite := make([]Cell, n[0]), make([]Cell, n[0])
		for z := range n[2] {
			for y := range n[1] {
				f.Row(y, z, row)
				for x, c := range row {
					u := f.front.number(x, y, z)
					id, ok := f.front.certified(u >> 6)
					if !ok || c.Grain < 0 {
						continue
					}
					known++
					key, sector := f.front.arrival(u, id)
					if hours := float32(f.hours(float64(key))); c.Sector != uint8(sector) ||
						math.Float32bits(c.TimeH) != math.Float32bits(hours) {
						t.Fatalf("%s, cell %d %d %d: sector %d at %v h in its row, %d at %v h by itself", s.name, x, y, z, c.Sector,
							c.TimeH, sector, hours)
					}
				}
				if id, ok := f.front.certified(f.front.number(0, y, z) >> 6); ok {
					l := f.along(id, [3]int{0, y, z})
					if face, ok := l.leader(0, 4, 0, 3); ok && face != none {
						f.led(&l, face^1, none, opposite[:4])
						for x := range opposite[:4] {
							if row[x].Sector < 4 {
								opposed++
							}
							if row[x].Sector < 4 && opposite[x] == row[x] {
								wrong++
							}
						}
					}
				}
			}
		}
		if known == 0 {
			t.Errorf("%s: no cell was certified", s.name)
		}
		if wrong > 0 {
			t.Errorf("%s: the canary passes in %d cells", s.name, wrong)
		}
	}
	if opposed == 0 {
		t.Error("the canary was not tried")
	}
}
