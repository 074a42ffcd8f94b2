package grains

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/num/quat"

	"onegrain/analysis/evidence"
	"onegrain/cmd/evidence/door"
)

// disorientations is item 5: the angles between grains that are turned at random.
func disorientations() evidence.Item {
	return evidence.Item{
		Number: 5, Name: "Disorientation of random grains",
		Source: "a random misorientation is uniform on the rotations; one representative of each class of equivalent ones lies in the zone about the identity that the symmetry planes cut out of " +
			"Rodrigues space (H. Grimmer, Scripta Metall. 13 (1979) 161; A. Morawiec, Orientations and Rotations, Springer 2004); angles integrated over the zone. 422: mean 63.01°, greatest 98.42° " +
			"(A. Heinz & P. Neumann, Acta Cryst. A47 (1991) 780). Check of the check: the same code with the 24 rotations of 432 must give the cubic values of J. K. Mackenzie, Biometrika 45 (1958) 229",
		Settles: "that spontaneous grains are turned uniformly, or about one axis in a fibre and in a plane, and that angles between them are the smallest under 422 and no other group",
		Cannot:  "whether spontaneous grains of a real melt are turned uniformly",
		Check:   checkDisorientations,
	}
}

func checkDisorientations(d *door.Door, s evidence.Size) ([]evidence.Finding, error) {
	parts := []func(*door.Door, evidence.Size) ([]evidence.Finding, error){randomPairs, fibrePairs, planePairs}
	return gather(len(parts), func(i int) ([]evidence.Finding, error) { return parts[i](d, s) })
}

// crowd is a study of many small grains round one upright seed.
func crowd(d *door.Door, name, plane, kind string, s evidence.Size) (*door.Results, error) {
	side, density := evidence.Of(s, 60.0, 30), 0.08
	if plane != "" {
		side = evidence.Of(s, 400.0, 160)
	}
	size := []float64{side, side, side}
	if plane != "" {
		size = size[:2]
	}
	return d.Run("disorientation-"+name, scene{body: block(plane, 1, false, size...), rateA: 100, rateC: 100, melt: atOnce(plane, density), kind: kind,
		seeds: []pose{{size: 2}}, replicates: evidence.Of(s, 3, 1), holdH: 1000}.text())
}

// turned are the orientations of the strays of a study, run by run.
func turned(r *door.Results) (runs [][]quat.Number, toSeed []float64, err error) {
	x, err := r.Numbers("grains", "replicate", "grain", "orientation_w", "orientation_x", "orientation_y", "orientation_z", "disorientation_deg")
	if err != nil {
		return nil, nil, err
	}
	byRun := map[int]int{}
	for i := range x[0] {
		if x[1][i] == 1 {
			continue
		}
		n, ok := byRun[int(x[0][i])]
		if !ok {
			n = len(runs)
			byRun[int(x[0][i])] = n
			runs = append(runs, nil)
		}
		runs[n] = append(runs[n], quat.Number{Real: x[2][i], Imag: x[3][i], Jmag: x[4][i], Kmag: x[5][i]})
		toSeed = append(toSeed, x[6][i])
	}
	return runs, toSeed, nil
}

// pairs are the angles between the first grain and the second, the third and the fourth, and so on: independent of one another.
func pairs(runs [][]quat.Number, group []quat.Number) (deg []float64) {
	for _, q := range runs {
		for i := 1; i < len(q); i += 2 {
			deg = append(deg, between(q[i-1], q[i], group))
		}
	}
	return deg
}

// apart picks boundaries of which no two share a grain.
func apart(r *door.Results, columns ...string) ([][]float64, error) {
	x, err := r.Numbers("boundaries", append([]string{"replicate", "grain_1", "grain_2"}, columns...)...)
	if err != nil {
		return nil, err
	}
	used := map[[2]float64]bool{}
	out := make([][]float64, len(columns))
	for i, run := range x[0] {
		a, b := [2]float64{run, x[1][i]}, [2]float64{run, x[2][i]}
		if used[a] || used[b] || x[1][i] == 1 {
			continue
		}
		used[a], used[b] = true, true
		for c := range columns {
			out[c] = append(out[c], x[3+c][i])
		}
	}
	return out, nil
}

func randomPairs(d *door.Door, s evidence.Size) ([]evidence.Finding, error) {
	r, err := crowd(d, "random", "", "random", s)
	if err != nil {
		return nil, err
	}
	runs, toSeed, err := turned(r)
	if err != nil {
		return nil, err
	}
	touching, err := apart(r, "disorientation_deg", "c_axis_angle_deg")
	if err != nil {
		return nil, err
	}
	zone := zoneOf("422", group422())
	tetragonal, cubic := zone.law(), zoneOf("432", group432()).law()
	own := pairs(runs, group422())
	axes := uniform{"cosine", func(deg float64) float64 { return 1 - math.Cos(deg/degrees) }, 180 / math.Pi, math.Sqrt(math.Pi-3) * degrees}
	found := compareAngles("3D, pairs of grains, angles computed here under 422", own, tetragonal, cubic, "432 instead of 422")
	found = append(found, compareAngles("3D, column disorientation_deg of grains: to the seed", toSeed, tetragonal, cubic, "432 instead of 422")...)
	found = append(found, compareAngles("3D, column disorientation_deg of boundaries, no grain twice", touching[0], tetragonal, cubic, "432 instead of 422")...)
	found = append(found, compareAngles("check of the check: the same pairs under 432 (Mackenzie 1958)", pairs(runs, group432()), cubic, tetragonal, "422 instead of 432")...)
	found = append(found, compareAngles("3D, column c_axis_angle_deg of boundaries, no grain twice", touching[1], axes, flat(90), "uniform angles instead of uniform cosines")...)
	return append(found, greatest(own, s), lowAngle(toSeed, zone.below(15))), nil
}

func fibrePairs(d *door.Door, s evidence.Size) ([]evidence.Finding, error) {
	r, err := crowd(d, "fibre", "", "fibre", s)
	if err != nil {
		return nil, err
	}
	touching, err := apart(r, "disorientation_deg", "c_axis_angle_deg")
	if err != nil {
		return nil, err
	}
	tilt := 0.0
	for _, x := range touching[1] {
		tilt = math.Max(tilt, x)
	}
	return append(compareAngles("3D, fibre, column disorientation_deg of boundaries, no grain twice", touching[0], flat(45), flat(90), "a two-fold axis instead of a four-fold one"),
		evidence.Finding{Quantity: "greatest angle between c axes", Where: "3D, fibre", Source: "all c axes are parallel", Unit: "°", Comparison: evidence.Comparison{Found: tilt, Tolerance: 1e-5},
			Because: "rounding of unit quaternions", Sample: fmt.Sprintf("%d pairs", len(touching[1]))}.Against("a scatter of 0.001°", 0.001)), nil
}

// planePairs: a plane seen from above turns crystals about c, a section about b.
func planePairs(d *door.Door, s evidence.Size) ([]evidence.Finding, error) {
	var found []evidence.Finding
	for _, p := range []struct {
		plane, where string
		law, wrong   uniform
		canary       string
	}{
		{"ab", "2D, plane ab: turned about the four-fold c", flat(45), flat(90), "turned about a two-fold axis"},
		{"ac", "2D, section: turned about the two-fold b", flat(90), flat(45), "turned about a four-fold axis"},
	} {
		r, err := crowd(d, "plane-"+p.plane, p.plane, "random", s)
		if err != nil {
			return nil, err
		}
		_, toSeed, err := turned(r)
		if err != nil {
			return nil, err
		}
		found = append(found, compareAngles(p.where+", column disorientation_deg of grains", toSeed, p.law, p.wrong, p.canary)...)
	}
	return found, nil
}

// compareAngles compares the mean and the whole distribution (Kolmogorov and Smirnov) of independent angles.
func compareAngles(where string, deg []float64, law, wrong uniform, canary string) []evidence.Finding {
	n := float64(len(deg))
	mean := 0.0
	for _, x := range deg {
		mean += x / n
	}
	sample := fmt.Sprintf("%d pairs", len(deg))
	ks := evidence.Finding{Quantity: "greatest distance between the distributions, × √n", Where: where, Source: law.source(), Sample: sample,
		Comparison: evidence.Comparison{Found: distance(deg, law.below), Tolerance: 1.95}, Because: "Kolmogorov and Smirnov, exceeded once in a thousand times"}
	ks.Canary = evidence.Canary{Wrong: canary, Comparison: evidence.Comparison{Found: distance(deg, wrong.below), Tolerance: 1.95}}
	return []evidence.Finding{
		evidence.Finding{Quantity: "mean angle", Where: where, Source: law.source(), Unit: "°", Sample: sample,
			Comparison: evidence.Comparison{Expected: law.mean, Found: mean, Tolerance: 3 * law.sd / math.Sqrt(n)},
			Because:    fmt.Sprintf("3 standard errors, %.4g° for one pair", law.sd)}.Against(canary, wrong.mean), ks}
}

// greatest: no angle exceeds the corner of the zone, and the largest of many comes near it.
func greatest(deg []float64, s evidence.Size) evidence.Finding {
	top, corner := 0.0, degrees*math.Acos((math.Sqrt2-2)/4)
	for _, x := range deg {
		top = math.Max(top, x)
	}
	tolerance := evidence.Of(s, 1.5, 5.0)
	return evidence.Finding{Quantity: "greatest angle", Where: "3D, pairs of grains under 422", Source: "corner of the zone, cos ω = -(2-√2)/4: 98.421° (Heinz & Neumann 1991)", Unit: "°",
		Comparison: evidence.Comparison{Expected: corner - tolerance/2, Found: top, Tolerance: tolerance / 2}, Because: fmt.Sprintf("the largest of so many pairs lies between the corner and %g° below it", tolerance),
		Sample: fmt.Sprintf("%d pairs", len(deg))}.Against("432, greatest 62.80°", 62.80)
}

// lowAngle counts the pairs below 15°, where the law is (8/π)(ω - sin ω).
func lowAngle(deg []float64, p float64) evidence.Finding {
	n, below := float64(len(deg)), 0.0
	for _, x := range deg {
		if x < 15 {
			below++
		}
	}
	return evidence.Finding{Quantity: "share of pairs below 15°", Where: "3D, column disorientation_deg of grains: to the seed", Source: "(8/π)(ω - sin ω) below 45°, exact",
		Comparison: evidence.Comparison{Expected: p, Found: below / n, Tolerance: 3 * math.Sqrt(p*(1-p)/n)}, Because: "3 standard errors of a counted share",
		Sample: fmt.Sprintf("%.0f pairs, %.0f below", n, below)}.Against("432 instead of 422: three times as many", 3*p)
}
