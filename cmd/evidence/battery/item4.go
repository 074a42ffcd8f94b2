package battery

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat"
)

// tessellations is item 4: how large the cells are that aligned boxes leave, and how many
// neighbours they have.
func tessellations(on *bench) {
	gather(on, []tessellation{
		{name: "above", plane: "ab", edge: of(on.short, 20.0, 10), grains: of(on.short, 1024.0, 256), ratio: 1,
			runs: of(on.short, 32, 4)},
		{name: "section", plane: "ac", edge: of(on.short, 20.0, 10), grains: of(on.short, 512.0, 256), ratio: 2,
			runs: of(on.short, 32, 4)},
		{name: "space", edge: of(on.short, 16.0, 8), grains: of(on.short, 1000.0, 125), ratio: 1, runs: of(on.short, 12, 4)},
		{name: "stretched", edge: of(on.short, 10.0, 6), grains: of(on.short, 1000.0, 125), ratio: 2,
			runs: of(on.short, 4, 2)},
		{name: "late-above", plane: "ab", edge: of(on.short, 20.0, 10), grains: 200, ratio: 1, late: true,
			runs: of(on.short, 24, 6)},
		{name: "late-space", edge: of(on.short, 10.0, 6), grains: 300, ratio: 1, late: true, runs: of(on.short, 12, 2)},
	}, func(t tessellation, on *bench) {
		o := t.look(on)
		if t.variance(on, o); !t.late {
			t.neighbours(on, o)
		}
	})
}

// Variances of the volume of cells, in units of the squared mean, for infinitely many nuclei.
const (
	boxCells2D, boxCells3D   = 0.2709668, 0.1612879 // aligned boxes, all starting together
	ballCells2D, ballCells3D = 0.280176, 0.1790324  // spheres (Gilbert 1962): Poisson-Voronoi
	// aligned boxes, nuclei at a steady rate (Monte Carlo, fixed number of nuclei)
	lateCells2D, lateCells3D = 0.6904, 1.107
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

func (t tessellation) dims() float64 { return t.pick(2, 3) }

// study lays the body out in whole multiples of eight cells of 1 mm.
func (t tessellation) study() study {
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
	if t.late { // extended-volume kinetics: density = Γ(1+1/(d+1)) I τ, τ = (2^d I ΠR/(d+1))^(-1/(d+1))
		k := math.Gamma(1 + 1/(d+1))
		i := math.Pow(math.Pow(density/k, d+1)*math.Pow(2*rate, d)/(d+1), 1/d)
		melt = steadyMelt(t.plane, i)
	}
	return study{runs: t.runs, peritectic: 1000, a: power{rate, 1}, c: power{rate / t.ratio, 1},
		body: endless(t.plane, 1, sizes...),
		p:    jumpAndHold(10000), melt: melt, kind: "parallel"}
}

// counts are what the runs of a tessellation say.
type counts struct {
	runs, grains, neighbours float64
	variance, expected       float64 // of normalised volumes, mean of the runs; for that many nuclei
}

func (t tessellation) look(on *bench) (o counts) {
	r := on.Run("tessellation-"+t.name, t.study().text())
	x := r.Numbers("grains", "replicate", "volume_mm3")
	byRun := map[float64][]float64{}
	for i, run := range x[0] {
		byRun[run] = append(byRun[run], x[1][i])
	}
	o.runs = float64(t.runs)
	for run := 1.0; run <= o.runs; run++ {
		mean, variance := stat.PopMeanVariance(byRun[run], nil)
		n := float64(len(byRun[run]))
		o.grains += n
		o.variance += variance / (mean * mean) / o.runs
		o.expected += ((1+t.infinite())*n/(n+1) - 1) / o.runs
	}
	o.neighbours = 2 * float64(len(r.Numbers("boundaries", "grain_1")[0])) / o.grains
	return o
}

// infinite is the variance for infinitely many nuclei.
func (t tessellation) infinite() float64 {
	if t.late {
		return t.pick(lateCells2D, lateCells3D)
	}
	return t.pick(boxCells2D, boxCells3D)
}

// pick chooses by dimensions.
func (t tessellation) pick(plane, space float64) float64 {
	if t.plane == "" {
		return space
	}
	return plane
}

func (t tessellation) where() string {
	plane := map[string]string{"": "3D", "ab": "2D, plane ab", "ac": "2D, section"}[t.plane]
	start := "all nuclei at once"
	if t.late {
		start = "nuclei at a steady rate"
	}
	return fmt.Sprintf("%s, R_a/R_c = %g, %s, periodic", plane, t.ratio, start)
}

func (t tessellation) sample(o counts) string {
	return fmt.Sprintf("%.0f grains in %.0f runs, %g cells across each", o.grains, o.runs, t.edge)
}

// variance compares the spread of the volumes.
func (t tessellation) variance(on *bench, o counts) {
	if t.late {
		sd := t.pick(0.102, 0.138)
		on.against("variance-late", values{"where": t.where(), "sample": t.sample(o), "sd": sd}, t.infinite(), o.variance,
			3*math.Hypot(sd/math.Sqrt(o.runs), t.pick(0.0084, 0.013)), t.pick(boxCells2D, boxCells3D))
		return
	}
	sd, ball := t.pick(0.0067, 0.0034), t.pick(ballCells2D, ballCells3D)-t.infinite()
	grid := t.dims() / 6 / (t.edge * t.edge)
	tolerance := 3*sd*math.Sqrt(1e4/o.grains) + grid
	wrong := 2 * o.expected
	if ball > 1.2*tolerance {
		wrong = o.expected + ball
	}
	on.against("variance", values{"where": t.where(), "sample": t.sample(o), "sd": sd, "grid": grid,
		"spheres": ball > 1.2*tolerance}, o.expected, o.variance, tolerance, wrong)
}

// neighbours compares how many grains touch a grain. Faces smaller than a cell are lost; how many,
// the source has tried.
func (t tessellation) neighbours(on *bench, o counts) {
	with, lost := values{"where": t.where(), "sample": t.sample(o)}, 1/(t.edge*t.edge)
	if t.plane != "" {
		on.against("neighbours-plane", with, 6-3*lost, o.neighbours, 3*lost, 6.04)
		return
	}
	on.against("neighbours", with, 17.579-20*lost, o.neighbours,
		3*0.041*math.Sqrt(4000/o.grains)+3*0.013+8*lost, 15.535)
}
