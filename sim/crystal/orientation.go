// Package crystal is the geometry of a tetragonal crystal in the sample: where its axes point, and
// how far two of them are turned against each other.
//
//  1. An Orientation is a unit quaternion that carries crystal coordinates (a, b, c) into sample
//     coordinates (x, y, z up).
//  2. It is made from the angles a person reads off a seed (Turned), or drawn uniformly (Random).
//  3. Axes gives the unit vectors the growth form stands on.
//  4. Two orientations are compared by their disorientation: the smallest rotation between them,
//     when the eight proper rotations of point group 422 leave the crystal unchanged.
package crystal

import (
	"math"

	"onegrain/sim/number"
)

// Orientation is a unit quaternion W + Xi + Yj + Zk; the zero value is not one, Turned(0, 0, 0) is
// the identity.
type Orientation struct{ W, X, Y, Z float64 }

// Turned is a crystal turned by turnDeg about the vertical (anticlockwise seen from above), then
// tilted so that its c axis leans by tiltDeg towards the azimuth tiltTowardDeg (0 = +x, 90 = +y).
// Degrees; the axes of multiples of 90 are exact.
func Turned(turnDeg, tiltDeg, tiltTowardDeg float64) Orientation {
	s, c := sincosDeg(turnDeg / 2)
	turn := Orientation{c, 0, 0, s}
	s, c = sincosDeg(tiltDeg / 2)
	ty, tx := sincosDeg(tiltTowardDeg)
	return turn.Then(Orientation{c, -float64(s * ty), float64(s * tx), 0})
}

// Random is uniform on SO(3) for u1, u2, u3 independent and uniform in [0, 1) (K. Shoemake,
// Graphics Gems III (1992) 124).
func Random(u1, u2, u3 float64) Orientation {
	s2, c2 := number.Sincos(float64(2 * math.Pi * u2))
	s3, c3 := number.Sincos(float64(2 * math.Pi * u3))
	r, q := math.Sqrt(1-u1), math.Sqrt(u1)
	return Orientation{float64(q * c3), float64(r * s2), float64(r * c2), float64(q * s3)}
}

// Axes are the unit vectors a, b, c of the crystal in the sample frame: three rows of three.
// Dividing by the norm makes turns by multiples of 90 degrees exact, though √½ is not.
func (o Orientation) Axes() [9]float64 {
	ww, xx, yy, zz := float64(o.W*o.W), float64(o.X*o.X), float64(o.Y*o.Y), float64(o.Z*o.Z)
	xy, xz, yz := float64(o.X*o.Y), float64(o.X*o.Z), float64(o.Y*o.Z)
	wx, wy, wz := float64(o.W*o.X), float64(o.W*o.Y), float64(o.W*o.Z)
	n := (ww + zz) + (xx + yy)
	return [9]float64{
		((ww - zz) + (xx - yy)) / n, float64(2*(xy+wz)) / n, float64(2*(xz-wy)) / n,
		float64(2*(xy-wz)) / n, ((ww - zz) - (xx - yy)) / n, float64(2*(yz+wx)) / n,
		float64(2*(xz+wy)) / n, float64(2*(yz-wx)) / n, ((ww + zz) - (xx + yy)) / n,
	}
}

// Then is o followed by p, both turning about axes of the sample: the quaternion product p·o.
func (o Orientation) Then(p Orientation) Orientation {
	return Orientation{
		float64(p.W*o.W) - float64(p.X*o.X) - float64(p.Y*o.Y) - float64(p.Z*o.Z),
		float64(p.W*o.X) + float64(p.X*o.W) + float64(p.Y*o.Z) - float64(p.Z*o.Y),
		float64(p.W*o.Y) - float64(p.X*o.Z) + float64(p.Y*o.W) + float64(p.Z*o.X),
		float64(p.W*o.Z) + float64(p.X*o.Y) - float64(p.Y*o.X) + float64(p.Z*o.W),
	}
}

// sincosDeg is the sine and cosine of an angle in degrees, exact at multiples of 90, and equal to
// each other at 45.
func sincosDeg(deg float64) (sin, cos float64) {
	deg = math.Mod(deg, 360)
	k := math.Floor(deg/90 + 0.5)
	r := deg - float64(90*k)
	s, c := number.Sincos(float64(r * (math.Pi / 180)))
	if math.Abs(r) == 45 {
		s, c = math.Copysign(math.Sqrt2/2, r), math.Sqrt2/2
	}
	switch int(k) & 3 {
	case 1:
		return c, -s
	case 2:
		return -s, -c
	case 3:
		return -c, s
	}
	return s, c
}
