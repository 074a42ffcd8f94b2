package battery

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/num/quat"
	"gonum.org/v1/gonum/stat"

	"onegrain/cmd/evidence/door"
)

// disorientations is item 5: the angles between grains that are turned at random.
func disorientations(on *bench) {
	parts(on, randomPairs, fibrePairs, planePairs)
}

// manyStrays is a study of many small grains round one upright seed.
func manyStrays(on *bench, name, plane, kind string) *door.Results {
	body := block("", 1, slices.Repeat([]float64{of(on.short, 60.0, 30)}, 3)...)
	if plane != "" {
		body = block(plane, 1, slices.Repeat([]float64{of(on.short, 400.0, 160)}, 2)...)
	}
	return on.Run("disorientation-"+name, study{runs: of(on.short, 3, 1), peritectic: 1000, a: power{100, 1},
		c:     power{100, 1},
		body:  body,
		seeds: []pose{{size: 2}}, p: jumpAndHold(1000), melt: atOnce(plane, 0.08), kind: kind}.text())
}

// orientations are those of the strays of a study, run by run, and their angles to the seed.
func orientations(r *door.Results) (runs map[float64][]quat.Number, toSeed []float64) {
	x := r.Numbers("grains", "replicate", "grain", "orientation_w", "orientation_x", "orientation_y", "orientation_z",
		"disorientation_deg")
	runs = map[float64][]quat.Number{}
	for i, run := range x[0] {
		if x[1][i] > 1 {
			runs[run] = append(runs[run], quat.Number{Real: x[2][i], Imag: x[3][i], Jmag: x[4][i], Kmag: x[5][i]})
			toSeed = append(toSeed, x[6][i])
		}
	}
	return runs, toSeed
}

// pairs are the angles between the first grain and the second, the third and the fourth, and so on:
// independent of one another.
func pairs(runs map[float64][]quat.Number, group []quat.Number) (deg []float64) {
	for _, q := range runs {
		for i := 1; i < len(q); i += 2 {
			deg = append(deg, between(q[i-1], q[i], group))
		}
	}
	slices.Sort(deg)
	return deg
}

// apart are the angles of boundaries of which no two share a grain: between the crystals and
// between their c axes.
func apart(r *door.Results) (deg, axes []float64) {
	x := r.Numbers("boundaries", "replicate", "grain_1", "grain_2", "disorientation_deg", "c_axis_angle_deg")
	used := map[[2]float64]bool{}
	for i, run := range x[0] {
		a, b := [2]float64{run, x[1][i]}, [2]float64{run, x[2][i]}
		if used[a] || used[b] || x[1][i] == 1 {
			continue
		}
		used[a], used[b] = true, true
		deg, axes = append(deg, x[3][i]), append(axes, x[4][i])
	}
	return deg, axes
}

func randomPairs(on *bench) {
	r := manyStrays(on, "random", "", "random")
	runs, toSeed := orientations(r)
	touching, touchingAxes := apart(r)
	zone := zoneOf("422", group422())
	tetragonal, cubic := zone.law(), zoneOf("432", group432()).law()
	own := pairs(runs, group422())
	axes := uniform{"directions are uniform on the sphere: so is the cosine between two of them",
		func(deg float64) float64 { return 1 - math.Cos(deg/degrees) }, 180 / math.Pi,
		math.Sqrt(math.Pi-3) * degrees}
	const canary = "432 instead of 422"
	compareAngles(on, "3D, pairs of grains, angles computed here under 422", own, tetragonal, cubic, canary)
	compareAngles(on, "3D, column disorientation_deg of grains: to the seed", toSeed, tetragonal, cubic, canary)
	compareAngles(on, "3D, column disorientation_deg of boundaries, no grain twice", touching, tetragonal, cubic, canary)
	compareAngles(on, "check of the check: the same pairs under 432 (Mackenzie 1958)", pairs(runs, group432()), cubic,
		tetragonal, "422 instead of 432")
	compareAngles(on, "3D, column c_axis_angle_deg of boundaries, no grain twice", touchingAxes, axes, flat(90),
		"uniform angles instead of uniform cosines")
	greatest(on, own)
	lowAngle(on, toSeed, zone.below(15))
}

func fibrePairs(on *bench) {
	touching, axes := apart(manyStrays(on, "fibre", "", "fibre"))
	compareAngles(on, "3D, fibre, column disorientation_deg of boundaries, no grain twice", touching, flat(45), flat(90),
		"a two-fold axis instead of a four-fold one")
	on.against("fibre-axes", values{"pairs": len(axes)}, 0, slices.Max(axes), 1e-5, 0.001)
}

// planePairs: a plane seen from above turns crystals about c, a section about b.
func planePairs(on *bench) {
	for _, p := range []struct {
		plane, where string
		law, wrong   uniform
		canary       string
	}{
		{"ab", "2D, plane ab: turned about the four-fold c", flat(45), flat(90), "turned about a two-fold axis"},
		{"ac", "2D, section: turned about the two-fold b", flat(90), flat(45), "turned about a four-fold axis"},
	} {
		_, toSeed := orientations(manyStrays(on, "plane-"+p.plane, p.plane, "random"))
		compareAngles(on, p.where+", column disorientation_deg of grains", toSeed, p.law, p.wrong, p.canary)
	}
}

// compareAngles compares the mean and the whole distribution (Kolmogorov and Smirnov) of
// independent angles.
func compareAngles(on *bench, where string, deg []float64, law, wrong uniform, canary string) {
	with := values{"where": where, "source": law.source, "pairs": len(deg), "sd": law.sd, "wrong": canary}
	on.against("mean-angle", with, law.mean, stat.Mean(deg, nil), 3*law.sd/math.Sqrt(float64(len(deg))), wrong.mean)
	on.instead("angles", with, 0, distance(deg, law.below), 1.95, distance(deg, wrong.below))
}

// greatest: no angle exceeds the corner of the zone, and the largest of many comes near it.
func greatest(on *bench, deg []float64) {
	corner, tolerance := degrees*math.Acos((math.Sqrt2-2)/4), of(on.short, 1.5, 5.0)
	on.against("greatest-angle", values{"pairs": len(deg), "tolerance": tolerance},
		corner-tolerance/2, slices.Max(deg), tolerance/2, 62.80)
}

// lowAngle counts the pairs below 15°, where the law is (8/π)(ω - sin ω).
func lowAngle(on *bench, deg []float64, p float64) {
	n, below := float64(len(deg)), stat.CDF(15, stat.Empirical, slices.Sorted(slices.Values(deg)), nil)
	on.against("low-angles", values{"pairs": n, "below": below * n}, p, below, 3*math.Sqrt(p*(1-p)/n), 3*p)
}
