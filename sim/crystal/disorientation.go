package crystal

import (
	"math"

	"onegrain/sim/number"
)

const degree = 180 / math.Pi

// DisorientationDeg is the smallest angle, in degrees, of a rotation that carries crystal p into
// one that looks like q, under the eight proper rotations of 422 (RE-123 is tetragonal while it
// grows); 0 to 98.4211 (A. Heinz & P. Neumann, Acta Cryst. A47 (1991) 780). One side of symmetries
// is enough: S1·q·S2 turns by the same angle as q·S2·S1.
func (p Orientation) DisorientationDeg(q Orientation) float64 {
	m := p.inverse().Then(q).in(p)
	w, v := m.folded()
	return float64(2 * degree * number.Atan2(v, w))
}

// CAxisAngleDeg is the angle between the two c axes, their sense ignored, in degrees; 0 to 90.
func (p Orientation) CAxisAngleDeg(q Orientation) float64 {
	m := p.inverse().Then(q).in(p)
	along := float64(m.W*m.W) + float64(m.Z*m.Z)
	across := float64(m.X*m.X) + float64(m.Y*m.Y)
	return float64(degree * number.Atan2(float64(2*math.Sqrt(float64(along*across))), math.Abs(along-across)))
}

// inverse is the rotation back.
func (o Orientation) inverse() Orientation { return Orientation{o.W, -o.X, -o.Y, -o.Z} }

// in is the rotation o of the sample seen from the axes of crystal p: p⁻¹·o·p.
func (o Orientation) in(p Orientation) Orientation { return p.Then(o).Then(p.inverse()) }

// folded is the scalar part and the length of the vector part of the equivalent rotation with the
// largest scalar part. The eight candidates multiply by 1, i, j, k, (1±k)/√2, (i±j)/√2; the vector
// part is summed from its components, since √(1−w²) has no digits left for small angles.
func (o Orientation) folded() (scalar, vector float64) {
	const r = math.Sqrt2 / 2
	w, x, y, z := math.Abs(o.W), math.Abs(o.X), math.Abs(o.Y), math.Abs(o.Z)
	about, across := math.Max(w, z), math.Max(x, y)
	wz, xy := float64(r*(w+z)), float64(r*(x+y))
	scalar = math.Max(math.Max(about, across), math.Max(wz, xy))
	switch scalar {
	case wz:
		return scalar, length(x, y, float64(r*(w-z)))
	case xy:
		return scalar, length(w, z, float64(r*(x-y)))
	case about:
		return scalar, length(x, y, math.Min(w, z))
	}
	return scalar, length(w, z, math.Min(x, y))
}

func length(a, b, c float64) float64 {
	return math.Sqrt(float64(a*a) + float64(b*b) + float64(c*c))
}
