package measure

// Boundary is a pair of grains with a common face.
type Boundary struct {
	Grain1, Grain2    int     // indices in Outcome.Grains, Grain1 < Grain2
	AreaMM2           float64 // good to a few per cent, see contacts; in a plane a length × its thickness, or × 1 mm
	DisorientationDeg float64 // under 422
	CAxisAngleDeg     float64 // between the c axes
	LowAngle          bool    // disorientation within the joinDeg of Look, which makes one domain of seeded grains
}

// Boundaries are all touching pairs in the order of their grains.
func (s *Survey) Boundaries() []Boundary {
	face := s.on.Grid.CellVolume() / s.on.Grid.CellMM
	var list []Boundary
	for _, p := range s.contacts.pairs() {
		a, b := s.grains[p.a].Orientation, s.grains[p.b].Orientation
		d := a.DisorientationDeg(b)
		list = append(list, Boundary{p.a, p.b, p.faces * face, d, a.CAxisAngleDeg(b), d <= s.joinDeg})
	}
	return list
}
