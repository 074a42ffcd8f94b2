package studies

import "onegrain/studies/strict"

// Magnet is how the body is looked at as a magnet or conductor once it is grown. It decides nothing
// in the furnace, so it is no part of a case's identity and cannot be varied.
type Magnet struct {
	CurrentAPerMM2 float64 // critical current density within a grain, A/mm²
	HeightMM       float64 // of the map of the trapped field above the top face, mm
	ThicknessMM    float64 // of a body that was grown in a plane, mm
	ThresholdDeg   float64 // disorientation up to which a boundary passes all of the current, degrees
	DecayDeg       float64 // further degrees that divide it by e
}

// magnetFields are the keys of [magnet]. The defaults of the boundary law are those of
// analysis/magnet (a test of the commands compares them); 100 A/mm² is a round value for melt-grown
// bodies at 77 K, whose measured ones lie between 100 and 400.
func magnetFields() []strict.Field {
	own := strict.Is("body.plane", "ab").And(strict.Without("body.thickness_mm"))
	return []strict.Field{
		strict.Number("magnet.critical_current_A_per_mm2", strict.Between(0.001, 1000000),
			"critical current density within a grain, the same everywhere and at every field").Or(100.0),
		strict.Number("magnet.height_above_mm", strict.Between(0, 1000),
			"height of the map of the trapped field above the top face").Or(0.5),
		strict.Number("magnet.thickness_mm", strict.Above(0).UpTo(1000), "thickness that a body in a plane is taken to have "+
			"as a magnet where body.thickness_mm does not say it").Beside(own).Or(10.0),
		strict.Number("magnet.boundary_threshold_deg", strict.Between(0, 98.43),
			"a boundary passes all of the current up to this disorientation").Or(3.0),
		strict.Number("magnet.boundary_decay_deg", strict.Between(0.1, 1000),
			"above it exp(-(angle - threshold) / this) of the current").Or(5.3),
	}
}

// Magnet is what the case says under [magnet]. ThicknessMM is 0 for a body of three dimensions,
// which has its own.
func (p Planned) Magnet() Magnet {
	d := p.doc
	m := Magnet{
		CurrentAPerMM2: d.Number("magnet.critical_current_A_per_mm2"), HeightMM: d.Number("magnet.height_above_mm"),
		ThresholdDeg: d.Number("magnet.boundary_threshold_deg"), DecayDeg: d.Number("magnet.boundary_decay_deg"),
	}
	if m.ThicknessMM = d.Number("body.thickness_mm"); m.ThicknessMM == 0 {
		m.ThicknessMM = d.Number("magnet.thickness_mm")
	}
	return m
}
