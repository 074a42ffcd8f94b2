package measure

import "math"

// sectorFractions are the parts of the seeded grains' volume that were captured by a faces and by c
// faces. What is missing from 1 is the cells under the seeds themselves. NaN where no seeded grain
// has a cell.
func (s *Survey) sectorFractions() (a, c float64) {
	var n [sectors]int
	all := 0
	for g := range s.seeded {
		for i, m := range s.cells[g] {
			n[i] += m
			all += m
		}
	}
	if all == 0 {
		return math.NaN(), math.NaN()
	}
	return float64(n[0]+n[1]+n[2]+n[3]) / float64(all), float64(n[4]+n[5]) / float64(all)
}
