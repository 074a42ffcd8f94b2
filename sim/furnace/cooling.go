package furnace

import "math"

// Gradient is a static temperature field: hotter upwards and outwards where positive.
type Gradient struct{ VerticalKPerMM, RadialKPerMM float64 }

// Offset is how many K hotter than the reference point (the axis of the top face) a place is: x, y
// from the axis and the depth below the top face in mm.
func (g Gradient) Offset(x, y, below float64) float64 {
	r := math.Sqrt(float64(x*x) + float64(y*y))
	return float64(g.RadialKPerMM*r) - float64(g.VerticalKPerMM*below) + 0 // no −0
}

// Cooling is the undercooling of a body at every place and hour. Places are x, y from the axis and
// the depth below the top face, in mm.
type Cooling struct {
	Programme Programme // at the reference point
	Gradient  Gradient
}

// Uniform tells whether all places see the same.
func (c Cooling) Uniform() bool { return c.Gradient == Gradient{} }

// At is ΔT in K of a place at an hour; at a jump the value after it.
func (c Cooling) At(x, y, below, timeH float64) float64 {
	return c.Programme.Undercooling(timeH) - c.Gradient.Offset(x, y, below)
}

// Seen is what a place sees from the moment the body is molten everywhere, whose coldest place has
// the offset lowestK: a programme of its own, empty if that moment never comes.
func (c Cooling) Seen(x, y, below, lowestK float64) Programme {
	return c.Programme.Seen(lowestK, c.Gradient.Offset(x, y, below))
}

// GrowthKnots are what a grain at a place sees that begins to grow at an hour: ΔT ≥ 0 from then to
// the end; see Programme.GrowthKnots.
func (c Cooling) GrowthKnots(x, y, below, bornH float64) []Knot {
	seen := Programme{[]Knot{{TimeH: bornH}, {bornH, math.Max(0, c.At(x, y, below, bornH))}}}
	for _, k := range c.Programme.Knots {
		if k.TimeH > bornH {
			seen.Knots = append(seen.Knots, Knot{k.TimeH, k.UndercoolingK - c.Gradient.Offset(x, y, below)})
		}
	}
	return seen.GrowthKnots()
}
