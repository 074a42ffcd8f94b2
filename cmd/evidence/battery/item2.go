package battery

import (
	"fmt"
	"math"
	"sort"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"onegrain/cmd/evidence/door"
)

// crystallisation is item 2: extended-volume kinetics.
func crystallisation(on *bench) {
	gather(on, crowds(on.short), crowd.check)
}

// crowd is a block without a seed in which many grains start.
type crowd struct {
	name, where string
	plane, turn string // orientation of nuclei: parallel or random
	theory      extended
	cell        float64
	runs        int
	steps       []int     // of 200 through the programme: when the fraction is read
	variance    float64   // of the number of grains over its mean, in theory; 0 = not known
	scatter     bool      // of the fraction of a run is known in theory
	lag         []lagging // of the fraction behind aligned boxes; nil: the boxes are aligned
	late        float64   // what cells make of that, per mm
}

// lagging is what others found for turned boxes.
type lagging struct {
	step       int
	by, sd     float64 // what it is, and its standard error
	wrong      float64 // what the canary expects
	wrongMeans string
}

const (
	tauPlane   = 1957.434 / 3600 // h: (4 I Ra Rb/3)^(-1/3) for 0.36 per mm² h and 3.6 mm/h
	tauOblong  = 2466.212 / 3600 // the same for 2:1
	tauSpace   = 3162.278 / 3600 // h: (2 I Ra² Rc)^(-1/4) for 0.036 per mm³ h, 3.6 and 1.8 mm/h
	varPlane   = 0.55647
	varSpace   = 0.65419
	manySigmas = 4 // of single comparisons with scatter: one false alarm in 16 000
)

// steady is a jump to 10 K and a hold, two units of time in all.
func steady(unit float64) programme {
	return programme{0, []stage{{toK: 10, rate: jump}, {hold: 2*unit - 10/jump}}}
}

func crowds(short size) []crowd {
	quick, slow := power{3.6, 0}, power{1.8, 0}
	side, edge := of(short, 30.0, 16), of(short, 20.0, 12)
	square, cube := []float64{side, side}, []float64{edge, edge, edge}
	plane, body := of(short, 0.125, 0.25), of(short, 0.25, 0.5)
	many, fewer, few := of(short, 600, 110), of(short, 600, 50), of(short, 200, 30) // a variance needs a hundred at least
	rate, rate3 := linear{0.036, 10, true}, linear{0.0036, 10, true}
	squares, boxes, bricks := []growthLaw{quick, quick}, []growthLaw{quick, slow}, []growthLaw{quick, quick, slow}
	changing := extended{linear{0.012, 40, false}, []growthLaw{power{0.8, 1.9}, power{0.6, 1.1}}, square, false,
		programme{0, []stage{{toK: 18, rate: 2}}}}
	a, c, _ := kinetics()
	long := of(short, 30.0, 24)
	cooled := extended{sites{0.05, 15, 3}, []growthLaw{a, a, c}, []float64{long, long, 4}, false,
		programme{0, []stage{{toK: 21, rate: 2}}}}
	all := []crowd{
		{name: "plane", where: "2D from above, periodic, squares", plane: "ab", cell: plane, runs: many, variance: varPlane,
			scatter: true, theory: extended{rate, squares, square, false, steady(tauPlane)}},
		{name: "oblong", where: "2D section, periodic, 2:1 boxes", plane: "ac", cell: plane, runs: fewer, scatter: true,
			variance: of[float64](short, varPlane, 0), theory: extended{rate, boxes, square, false, steady(tauOblong)}},
		{name: "walls", where: "2D from above, walls, squares", plane: "ab", cell: plane, runs: fewer,
			theory: extended{rate, squares, square, true, steady(tauPlane)}},
		{name: "changing", where: "2D section, periodic, R_a/R_c and I change along a ramp", plane: "ac", cell: plane,
			runs: fewer, theory: changing},
		{name: "space", where: "3D, periodic, 2:1 boxes", cell: body, runs: of(short, 200, 40), scatter: true,
			variance: of[float64](short, varSpace, 0), theory: extended{rate3, bricks, cube, false, steady(tauSpace)}},
		{name: "room", where: "3D, walls, 2:1 boxes", cell: body, runs: few,
			theory: extended{rate3, bricks, cube, true, steady(tauSpace)}},
		{name: "cooled", where: "3D, periodic, cooled at 2 K/h, R_a/R_c 5 → 16, sites law", cell: plane,
			runs: of(short, 100, 30), theory: cooled},
	}
	for i := range all {
		all[i].turn = "parallel"
		all[i].steps = all[i].theory.spread()
	}
	return append(all, turnedCrowds(short)...)
}

// spread are the steps at which the solid fraction first passes some values, in theory.
func (e extended) spread() (steps []int) {
	for _, x := range []float64{0.06, 0.19, 0.4, 0.63, 0.82, 0.93} {
		steps = append(steps, sort.Search(199,
			func(step int) bool { return 1-e.liquid(e.p.end()*float64(step)/200) > x-0.005 }))
	}
	return steps
}

// scatterAt is the scatter of the solid fraction of one run times √N, by dimensions, where about
// 0.63 is solid (0.62 to 0.64).
func scatterAt(dimensions int) float64 { return map[int]float64{2: 0.51886, 3: 0.56786}[dimensions] }

// turnedCrowds are boxes that start at random angles in the plane, where the law of aligned ones
// fails.
func turnedCrowds(short size) []crowd {
	rate, four, one, same := linear{0.036, 10, true}, power{7.2, 0}, power{1.8, 0}, power{3.6, 0}
	body, runs := []float64{60, 60}, of(short, 100, 32)
	aligned := "turned boxes follow the law of aligned ones"
	lag := []lagging{
		{100, -0.0148, 0.00155, 0, aligned}, {120, -0.0272, 0.00301, 0, aligned}, {140, -0.0263, 0.0032, 0, aligned}}
	return []crowd{
		{name: "turned", where: "2D section, periodic, 4:1 boxes turned at random", plane: "ac", turn: "random",
			cell: of(short, 0.0625, 0.375), runs: runs, late: 0.05, lag: of(short, lag, lag[1:]), // τ is too early for few runs
			theory: extended{rate, []growthLaw{four, one}, body, false, steady(tauPlane)}},
		{name: "squares", where: "2D from above, periodic, squares turned at random", plane: "ab", turn: "random",
			cell: of(short, 0.125, 0.5), runs: runs, late: 0.01,
			lag:    []lagging{{120, -0.000372, 0.0000879, -0.0272, "squares lag as 4:1 boxes do"}},
			theory: extended{rate, []growthLaw{same, same}, body, false, steady(tauPlane)}},
	}
}

func (c crowd) check(on *bench) {
	e := c.theory
	body := endless
	if e.walls {
		body = block
	}
	r := on.Run("crowd-"+c.name, study{runs: c.runs, peritectic: peritecticC, a: e.axes[0], c: e.axes[len(e.axes)-1],
		body: body(c.plane, c.cell, e.size...), p: e.p, melt: e.law.toml(perUnit(c.plane)), kind: c.turn,
		history: true}.text())
	if c.lag != nil {
		c.lags(on, r)
		return
	}
	c.curve(on, c.fractions(r, c.steps))
	c.counts(on, r.Numbers("runs", "stray_grains")[0])
}

// time of a step.
func (c *crowd) time(step int) float64 { return c.theory.p.end() * float64(step) / 200 }

// fractions are what is solid at given steps of each run.
func (c *crowd) fractions(r *door.Results, steps []int) *mat.Dense {
	h := r.Numbers("history", "replicate", "time_h", "solid_fraction")
	x := mat.NewDense(c.runs, len(steps), nil)
	n := 0
	for i, step := range steps {
		for row, t := range h[1] {
			if math.Abs(t-c.time(step)) < 1e-9 {
				x.Set(int(h[0][row])-1, i, h[2][row])
				n++
			}
		}
	}
	if n != c.runs*len(steps) {
		panic(fmt.Errorf("crowd %s: the history has %d of %d moments", c.name, n, c.runs*len(steps)))
	}
	return x
}

// swift is the theory with growth rates wrong by a factor.
func (e extended) swift(by float64) extended {
	axes := e.axes
	e.axes = nil
	for _, l := range axes {
		e.axes = append(e.axes, faster{l, by})
	}
	return e
}

// curve compares the mean of all runs: at the middle, in scatter, and over all steps together,
// since they go up and down as one.
func (c *crowd) curve(on *bench, x *mat.Dense) {
	by := of(on.short, 1.03, 1.15)
	var want, off []float64
	for _, step := range c.steps {
		want = append(want, 1-c.theory.liquid(c.time(step)))
		off = append(off, 1-c.theory.swift(by).liquid(c.time(step)))
	}
	mid := 3 // about 0.63
	mean, sd := stat.MeanStdDev(mat.Col(nil, mid, x), nil)
	runs, n := float64(c.runs), c.theory.number(c.theory.p.end())
	spread, scatter := sd, scatterAt(len(c.theory.axes))
	if c.scatter {
		spread = scatter / math.Sqrt(n)
	}
	noticed := 2 * manySigmas / math.Sqrt(2*runs)
	with := values{"where": c.where, "runs": c.runs, "hours": c.time(c.steps[mid]), "theory": c.scatter,
		"moments": len(want), "percent": 100 * (by - 1), "noticed": 100 * noticed}
	limit := distuv.F{D1: float64(len(want)), D2: float64(c.runs - len(want))}.Quantile(0.9999)
	on.against("solid", with, want[mid], mean, manySigmas*spread/math.Sqrt(runs), off[mid])
	on.instead("curve", with, 1, hotelling(x, want), limit-1, hotelling(x, off))
	if c.scatter {
		on.against("scatter", with, scatter, sd*math.Sqrt(n), manySigmas*scatter/math.Sqrt(2*runs), scatter*(1+noticed))
	}
}

// hotelling is T² of the rows' mean against what is wanted, scaled to be an F.
func hotelling(x *mat.Dense, want []float64) float64 {
	r, p := x.Dims()
	var s mat.SymDense
	stat.CovarianceMatrix(&s, x, nil)
	d := mat.NewVecDense(p, nil)
	for i := range p {
		d.SetVec(i, stat.Mean(mat.Col(nil, i, x), nil)-want[i])
	}
	var chol mat.Cholesky
	if !chol.Factorize(&s) {
		return math.NaN()
	}
	var y mat.VecDense
	if err := chol.SolveVecTo(&y, d); err != nil {
		return math.NaN()
	}
	return float64(r) * mat.Dot(d, &y) * float64(r-p) / (float64(p) * float64(r-1))
}

// counts compares how many grains there are, and how much that scatters: less than a Poisson
// number, because grains keep others off.
func (c *crowd) counts(on *bench, grains []float64) {
	by := of(on.short, 1.06, 1.15)
	end, runs := c.theory.p.end(), float64(c.runs)
	n, off := c.theory.number(end), c.theory.swift(by).number(end)
	mean, variance := stat.MeanVariance(grains, nil)
	spread := math.Sqrt(variance)
	if c.variance > 0 {
		spread = math.Sqrt(c.variance * n)
	}
	with := values{"where": c.where, "runs": c.runs, "percent": 100 * (by - 1), "theory": c.variance > 0}
	on.against("grains", with, n, mean, manySigmas*spread/math.Sqrt(runs), off)
	if c.variance > 0 {
		on.against("grains-variance", with, c.variance, variance/mean, manySigmas*c.variance*math.Sqrt(2/(runs-1)), 1)
	}
}

// lags compares how far turned boxes stay behind the law of aligned ones.
func (c *crowd) lags(on *bench, r *door.Results) {
	for _, l := range c.lag {
		mean, sd := stat.MeanStdDev(mat.Col(nil, 0, c.fractions(r, []int{l.step})), nil)
		law, se := 1-c.theory.liquid(c.time(l.step)), sd/math.Sqrt(float64(c.runs))
		with := values{"where": c.where, "runs": c.runs, "tau": float64(l.step) / 100, "late": c.late, "se": se, "sd": l.sd,
			"law": law, "wrong": l.wrongMeans}
		on.against("lag", with, l.by, mean-law, manySigmas*math.Hypot(l.sd, se)+c.late*c.cell, l.wrong)
	}
}
