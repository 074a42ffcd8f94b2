package measure

import "math"

// Run is the headline of one furnace run.
type Run struct {
	SingleGrain             bool    // one domain fills the body and no stray exists
	ClearDiameterMM         float64 // largest disc in the clear columns of the largest domain
	ClearSquareMM           float64 // largest square along its own a and b
	ClearVolumeMM3          float64 // of those columns
	SolidFraction           float64 // of the body's volume
	StrayGrains             int     // strays that own a cell
	StrayVolumeFraction     float64 // of the body's volume
	FirstStrayH             float64 // its birth, hours from the start of the programme; NaN without strays
	FirstStrayUndercoolingK float64 // at its place
	// free full width of the first seed's grain then, at most the body's; NaN without either
	GrainWidthAtFirstStrayMM float64
	TimeToFullH              float64 // hours from the start of the programme; NaN when liquid is left
	SectorAFraction          float64 // of the seeded grains' volume, captured by a faces; NaN without any
	SectorCFraction          float64 // by c faces
}

// Run works out the headline.
func (s *Survey) Run() Run {
	body := float64(s.body())
	r := Run{SingleGrain: s.filled(), SolidFraction: float64(s.solid()) / body}
	r.ClearDiameterMM, r.ClearSquareMM, r.ClearVolumeMM3 = s.clearPiece()
	r.SectorAFraction, r.SectorCFraction = s.sectorFractions()
	r.FirstStrayH, r.FirstStrayUndercoolingK = math.NaN(), math.NaN()
	r.GrainWidthAtFirstStrayMM, r.TimeToFullH = math.NaN(), s.fullH
	strays := 0
	for g := s.seeded; g < len(s.grains); g++ {
		if n := s.size(g); n > 0 {
			r.StrayGrains++
			strays += n
			if !(r.FirstStrayH <= s.grains[g].BornH) {
				r.FirstStrayH, r.FirstStrayUndercoolingK = s.grains[g].BornH, s.grains[g].BornUndercoolingK
			}
		}
	}
	r.StrayVolumeFraction = float64(strays) / body
	if r.StrayGrains > 0 && s.seeded > 0 {
		r.GrainWidthAtFirstStrayMM = math.Min(2*newFree(s.on, s.grains[0].BornH).halfA(r.FirstStrayH), s.bodyWidth())
	}
	return r
}

// FullH is Run's TimeToFullH alone.
func (s *Survey) FullH() float64 { return s.fullH }

// bodyWidth is the extent of the body along the first seed's own a axis, seen from above, mm.
func (s *Survey) bodyWidth() float64 {
	g := s.on.Grid
	rim := g.Rim()
	if rim.OuterMM > 0 {
		return 2 * rim.OuterMM
	}
	axes := s.grains[0].Orientation.Axes()
	long := math.Sqrt(float64(axes[0]*axes[0]) + float64(axes[1]*axes[1]))
	ax, ay := axes[0]/long, axes[1]/long
	if g.Flat == 1 || long == 0 {
		ax, ay = 1, 0
	}
	if rim.Picture == nil {
		return 2 * (float64(math.Abs(ax)*rim.HalfMM[0]) + float64(math.Abs(ay)*rim.HalfMM[1]))
	}
	low, high := math.Inf(1), math.Inf(-1)
	for u, n := range s.columns.cells {
		if n > 0 {
			p := float64(ax*float64(u%g.N[0])) + float64(ay*float64(u/g.N[0]))
			low, high = math.Min(low, p), math.Max(high, p)
		}
	}
	return (high - low + math.Abs(ax) + math.Abs(ay)) * g.CellMM
}

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
