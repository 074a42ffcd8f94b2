package battery

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/num/quat"
)

const degrees = 180 / math.Pi

// between is the smallest angle between two orientations under a group of rotations, in degrees.
func between(p, q quat.Number, group []quat.Number) float64 {
	m := quat.Mul(quat.Conj(p), q)
	best := 0.0
	for _, g := range group {
		best = math.Max(best, math.Abs(quat.Mul(m, g).Real))
	}
	return 2 * degrees * math.Acos(math.Min(1, best))
}

// group422 are the eight rotations of a tetragonal crystal.
func group422() []quat.Number {
	const r = math.Sqrt2 / 2
	return []quat.Number{{Real: 1}, {Imag: 1}, {Jmag: 1}, {Kmag: 1}, {Real: r, Kmag: r}, {Real: r, Kmag: -r},
		{Imag: r, Jmag: r}, {Imag: r, Jmag: -r}}
}

// group432 are the 24 rotations of a cube: those above, turned about the threefold axis [111] by a
// third and two thirds.
func group432() (all []quat.Number) {
	third := quat.Number{Real: 0.5, Imag: 0.5, Jmag: 0.5, Kmag: 0.5}
	for _, t := range []quat.Number{{Real: 1}, third, quat.Mul(third, third)} {
		for _, g := range group422() {
			all = append(all, quat.Mul(t, g))
		}
	}
	return all
}

// zone is the part of Rodrigues space (axis × tan(ω/2)) that is nearer to the identity than to any
// equivalent: planes across unit vectors, at the distance tan(φ/4) for a rotation by φ. It is kept
// as the greatest angle about each of many axes, spread evenly.
type zone struct {
	name  string
	order float64 // of the group
	edges []float64
}

type plane struct{ x, y, z, at float64 }

func zoneOf(name string, group []quat.Number) zone {
	var planes []plane
	for _, g := range group {
		if v := math.Sqrt(g.Imag*g.Imag + g.Jmag*g.Jmag + g.Kmag*g.Kmag); v > 1e-9 {
			planes = append(planes, plane{g.Imag / v, g.Jmag / v, g.Kmag / v, math.Tan(math.Atan2(v, math.Abs(g.Real)) / 2)})
		}
	}
	const n = 160 // midpoints in the cosine and in the azimuth of an octant
	z := zone{name: name, order: float64(len(group))}
	for i := range n {
		w := (float64(i) + 0.5) / n
		for j := range n {
			y, x := math.Sincos((float64(j) + 0.5) / n * math.Pi / 2)
			z.edges = append(z.edges, edge(planes, math.Sqrt(1-w*w)*x, math.Sqrt(1-w*w)*y, w))
		}
	}
	return z
}

// edge is the greatest angle about an axis, radians.
func edge(planes []plane, x, y, z float64) float64 {
	r := math.Inf(1)
	for _, p := range planes {
		if c := math.Abs(x*p.x + y*p.y + z*p.z); c > 1e-12 {
			r = math.Min(r, p.at/c)
		}
	}
	return 2 * math.Atan(r)
}

// share integrates over the zone: the density of the angle ω of a random rotation is (1 - cos ω)/π,
// and order times that within the zone; f is the integral of it from 0 to an angle, times anything.
func (z zone) share(f func(edge float64) float64) float64 {
	sum := 0.0
	for _, e := range z.edges {
		sum += f(e)
	}
	return z.order / math.Pi * sum / float64(len(z.edges))
}

// below is the share of random pairs below an angle.
func (z zone) below(deg float64) float64 {
	w := deg / degrees
	return z.share(func(e float64) float64 { return math.Min(w, e) - math.Sin(math.Min(w, e)) })
}

// law tabulates the distribution of random pairs.
func (z zone) law() uniform {
	mean := z.share(func(e float64) float64 { return e*e/2 - (math.Cos(e) + e*math.Sin(e) - 1) }) * degrees
	square := z.share(func(e float64) float64 { return e*e*e/3 - (2*e*math.Cos(e) + (e*e-2)*math.Sin(e)) }) * degrees *
		degrees
	const last = 100
	var table [last + 1]float64
	for x := range table {
		table[x] = z.below(float64(x))
	}
	return uniform{"angle integrated over the zone of " + z.name, func(deg float64) float64 {
		i := min(int(deg), last-1)
		return table[i] + (deg-float64(i))*(table[i+1]-table[i])
	}, mean, math.Sqrt(square - mean*mean)}
}

// uniform is a distribution of angles: how large a share lies below one, mean and standard
// deviation in degrees.
type uniform struct {
	source   string // of it
	below    func(deg float64) float64
	mean, sd float64
}

// flat are angles as likely as one another up to a greatest one.
func flat(top float64) uniform {
	return uniform{"turns about one axis are uniform; folded by the symmetry they stay so",
		func(deg float64) float64 { return math.Min(1, deg/top) }, top / 2, top / math.Sqrt(12)}
}

// distance is that of Kolmogorov and Smirnov, times √n.
func distance(values []float64, below func(float64) float64) float64 {
	v := slices.Sorted(slices.Values(values))
	n, d := float64(len(v)), 0.0
	for i, x := range v {
		f := below(x)
		d = math.Max(d, math.Max(f-float64(i)/n, float64(i+1)/n-f))
	}
	return d * math.Sqrt(n)
}
