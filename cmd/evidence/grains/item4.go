package grains

import (
	"fmt"
	"math"

	"onegrain/analysis/evidence"
	"onegrain/cmd/evidence/door"
)

// tessellations is item 4: how large the cells are that aligned boxes leave, and how many neighbours they have.
func tessellations() evidence.Item {
	return evidence.Item{
		Number: 4, Name: "Tessellations of aligned boxes",
		Source: "nuclei that start together and grow as aligned boxes leave the cells nearest to each in the largest of the scaled coordinate differences. Second moment of such cells: " +
			"the integral of E. N. Gilbert, Ann. Math. Stat. 33 (1962) 958, with boxes in the place of balls (tested by a quadrature of its own); neighbours: Euler's relation in the plane, enumeration of empty cubes in space",
		Settles: "that many grains grow at once as free boxes, meet where they should, and are counted and measured rightly, in periodic bodies, for any ratio of the rates",
		Cannot:  "anything about turned grains, whose cells have no such law",
		Check:   checkTessellations,
	}
}

// Variances of the volume of cells, in units of the squared mean, for infinitely many nuclei.
const (
	boxCells2D, boxCells3D   = 0.2709668, 0.1612879 // aligned boxes, all starting together
	ballCells2D, ballCells3D = 0.280176, 0.1790324  // spheres (Gilbert 1962): Poisson-Voronoi
	lateCells2D, lateCells3D = 0.6904, 1.107        // aligned boxes, nuclei at a steady rate (Monte Carlo, fixed number of nuclei)
)

// tessellation is a study of many grains.
type tessellation struct {
	name, plane string
	edge        float64 // mean edge of a cell of the tessellation, in cells of the body
	grains      float64 // expected in a run
	ratio       float64 // of the rates, a to c; the body is stretched to match
	late        bool    // nuclei at a steady rate
	runs        int
}

func (t tessellation) dims() float64 {
	if t.plane == "" {
		return 3
	}
	return 2
}

// study lays the body out in whole multiples of eight cells of 1 mm.
func (t tessellation) study() scene {
	d := t.dims()
	side := 8 * math.Round(math.Pow(t.grains, 1/d)*t.edge/8)
	stretch := 8 * math.Round(side*t.ratio/8)
	sizes := map[string][]float64{"": {stretch, stretch, side}, "ab": {side, side}, "ac": {stretch, side}}[t.plane]
	volume := 1.0
	for _, s := range sizes {
		volume *= s
	}
	density := t.grains / volume
	const rate = 100
	melt := atOnce(t.plane, density)
	if t.late { // number of grains of extended-volume kinetics: density = Γ(1+1/(d+1)) I τ, τ = (2^d I ΠR/(d+1))^(-1/(d+1))
		k := math.Gamma(1 + 1/(d+1))
		i := math.Pow(math.Pow(density/k, d+1)*math.Pow(2*rate, d)/(d+1), 1/d)
		melt = steady(t.plane, i)
	}
	return scene{body: block(t.plane, 1, true, sizes...), rateA: rate, rateC: rate / t.ratio, melt: melt, kind: "parallel", replicates: t.runs, holdH: 10000}
}

// told is what the runs of a tessellation say.
type told struct {
	runs, grains, neighbours float64
	variance, expected       float64 // of normalised volumes, mean of the runs; for that many nuclei
}

func (t tessellation) look(d *door.Door) (told, error) {
	r, err := d.Run("tessellation-"+t.name, t.study().text())
	if err != nil {
		return told{}, err
	}
	x, err := r.Numbers("grains", "replicate", "volume_mm3")
	if err != nil {
		return told{}, err
	}
	pairs, err := r.Table("boundaries")
	if err != nil {
		return told{}, err
	}
	byRun := map[float64][]float64{}
	for i, run := range x[0] {
		byRun[run] = append(byRun[run], x[1][i])
	}
	infinite := t.infinite()
	var o told
	for run := 1.0; run <= float64(t.runs); run++ {
		v := byRun[run]
		n, mean, square := float64(len(v)), 0.0, 0.0
		for _, one := range v {
			mean += one / n
			square += one * one / n
		}
		o.runs++
		o.grains += n
		o.variance += square/(mean*mean) - 1
		o.expected += (1+infinite)*n/(n+1) - 1
	}
	o.variance, o.expected = o.variance/o.runs, o.expected/o.runs
	o.neighbours = 2 * float64(pairs.Len()) / o.grains
	return o, nil
}

// infinite is the variance for infinitely many nuclei.
func (t tessellation) infinite() float64 {
	switch {
	case t.late && t.plane == "":
		return lateCells3D
	case t.late:
		return lateCells2D
	case t.plane == "":
		return boxCells3D
	}
	return boxCells2D
}

func checkTessellations(d *door.Door, s evidence.Size) ([]evidence.Finding, error) {
	list := []tessellation{
		{name: "above", plane: "ab", edge: evidence.Of(s, 20.0, 10), grains: evidence.Of(s, 1024.0, 256), ratio: 1, runs: evidence.Of(s, 32, 4)},
		{name: "section", plane: "ac", edge: evidence.Of(s, 20.0, 10), grains: evidence.Of(s, 512.0, 256), ratio: 2, runs: evidence.Of(s, 32, 4)},
		{name: "space", edge: evidence.Of(s, 16.0, 8), grains: evidence.Of(s, 1000.0, 125), ratio: 1, runs: evidence.Of(s, 12, 4)},
		{name: "stretched", edge: evidence.Of(s, 10.0, 6), grains: evidence.Of(s, 1000.0, 125), ratio: 2, runs: evidence.Of(s, 4, 2)},
		{name: "late-above", plane: "ab", edge: evidence.Of(s, 20.0, 10), grains: 200, ratio: 1, late: true, runs: evidence.Of(s, 24, 6)},
		{name: "late-space", edge: evidence.Of(s, 10.0, 6), grains: 300, ratio: 1, late: true, runs: evidence.Of(s, 12, 2)},
	}
	return gather(len(list), func(i int) ([]evidence.Finding, error) {
		o, err := list[i].look(d)
		if err != nil {
			return nil, err
		}
		found := []evidence.Finding{list[i].variance(o)}
		if !list[i].late {
			found = append(found, list[i].neighbours(o))
		}
		return found, nil
	})
}

func (t tessellation) where() string {
	plane := map[string]string{"": "3D", "ab": "2D, plane ab", "ac": "2D, section"}[t.plane]
	start := "all nuclei at once"
	if t.late {
		start = "nuclei at a steady rate"
	}
	return fmt.Sprintf("%s, R_a/R_c = %g, %s, periodic", plane, t.ratio, start)
}

func (t tessellation) sample(o told) string {
	return fmt.Sprintf("%.0f grains in %.0f runs, %g cells across each", o.grains, o.runs, t.edge)
}

// variance compares the spread of the volumes.
func (t tessellation) variance(o told) evidence.Finding {
	f := evidence.Finding{Quantity: "variance of grain size / mean²", Where: t.where(), Sample: t.sample(o),
		Source:     "Gilbert's integral with boxes; for N nuclei (1+Var) N/(N+1) - 1",
		Comparison: evidence.Comparison{Expected: o.expected, Found: o.variance}}
	if t.late {
		sd := map[string]float64{"": 0.138, "ab": 0.102}[t.plane]
		f.Source = "Monte Carlo of boxes without cells, same number of nuclei (own, 0.6904 ± 0.0084 in 2D, 1.107 ± 0.013 in 3D)"
		f.Expected = t.infinite()
		f.Tolerance = 3 * math.Hypot(sd/math.Sqrt(o.runs), map[string]float64{"": 0.013, "ab": 0.0084}[t.plane])
		f.Because = fmt.Sprintf("3 standard errors: %g for one run, and that of the Monte Carlo itself", sd)
		return f.Against("all nuclei at once", map[string]float64{"": boxCells3D, "ab": boxCells2D}[t.plane])
	}
	sd, ball := 0.0067, ballCells2D
	if t.plane == "" {
		sd, ball = 0.0034, ballCells3D
	}
	grid := t.dims() / 6 / (t.edge * t.edge)
	f.Tolerance = 3*sd*math.Sqrt(1e4/o.grains) + grid
	f.Because = fmt.Sprintf("3 standard deviations, %g for 10⁴ grains; and at most d/6 (cell/edge)² = %.2g for faces rounded to cells", sd, grid)
	if ball-t.infinite() > 1.2*f.Tolerance {
		return f.Against("spheres in the place of boxes", o.expected+ball-t.infinite())
	}
	return f.Against("a variance twice as large", 2*o.expected)
}

// neighbours compares how many grains touch a grain. Faces smaller than a cell are lost; how many, the source has tried.
func (t tessellation) neighbours(o told) evidence.Finding {
	f := evidence.Finding{Quantity: "mean number of neighbours", Where: t.where(), Sample: t.sample(o), Comparison: evidence.Comparison{Found: o.neighbours}}
	lost := 1 / (t.edge * t.edge)
	if t.plane != "" {
		f.Source = "Euler's relation: three edges in each vertex of a map on a torus make 6"
		f.Expected, f.Tolerance = 6-3*lost, 3*lost
		f.Because = "no scatter on a torus; edges shorter than a cell are lost, at most 6 (cell/edge)² of them"
		return f.Against("one grain in fifty with a neighbour more", 6.04)
	}
	f.Source = "enumeration of empty cubes through four nuclei: 17.579 ± 0.013 distinct neighbours (own); 15.535 for spheres (J. L. Meijering, Philips Res. Rep. 8 (1953) 270)"
	f.Expected = 17.579 - 20*lost
	f.Tolerance = 3*0.041*math.Sqrt(4000/o.grains) + 3*0.013 + 8*lost
	f.Because = "3 standard errors (0.041 for 4000 grains) and 3 of the source; faces smaller than a cell are lost, (20 ± 8)(cell/edge)² of them by trial"
	return f.Against("spheres in the place of boxes", 15.535)
}
