package studies

import "onegrain/studies/strict"

// Magnet is how the body is looked at as a magnet or conductor once it is grown. It decides nothing in the furnace, so it is no
// part of a case's identity and cannot be varied.
type Magnet struct {
	CurrentAPerMM2 float64 // critical current density within a grain, A/mm²
	HeightMM       float64 // of the map of the trapped field above the top face, mm
	ThicknessMM    float64 // of a body that was grown in a plane, mm
	ThresholdDeg   float64 // disorientation up to which a boundary passes all of the current, degrees
	DecayDeg       float64 // further degrees that divide it by e
}

// magnetFields are the keys of [magnet]. The defaults of the boundary law are those of analysis/magnet (a test of the commands
// compares them); 100 A/mm² is a round value for melt-grown bodies at 77 K, whose measured ones lie between 100 and 400.
func magnetFields() []strict.Field {
	return []strict.Field{
		{Key: "magnet.critical_current_A_per_mm2", Kind: strict.Number, Unit: "A/mm²", Range: "[0.001, 1000000]", Default: 100.0, Means: "critical current density within a grain, the same everywhere and at every field"},
		{Key: "magnet.height_above_mm", Kind: strict.Number, Unit: "mm", Range: "[0, 1000]", Default: 0.5, Means: "height of the map of the trapped field above the top face"},
		{Key: "magnet.thickness_mm", Kind: strict.Number, Unit: "mm", Range: "(0, 1000]", Default: 10.0, When: "body.plane=ab & body.thickness_mm=", Means: "thickness that a body in a plane is taken to have as a magnet where body.thickness_mm does not say it"},
		{Key: "magnet.boundary_threshold_deg", Kind: strict.Number, Unit: "°", Range: "[0, 98.43]", Default: 3.0, Means: "a boundary passes all of the current up to this disorientation"},
		{Key: "magnet.boundary_decay_deg", Kind: strict.Number, Unit: "°", Range: "[0.1, 1000]", Default: 5.3, Means: "above it exp(-(angle - threshold) / this) of the current"},
	}
}

// Magnet is what the case says under [magnet]. ThicknessMM is 0 for a body of three dimensions, which has its own.
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
