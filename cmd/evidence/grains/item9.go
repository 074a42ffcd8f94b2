package grains

import (
	"fmt"
	"math"
	"slices"

	"onegrain/analysis/evidence"
	"onegrain/cmd/evidence/door"
)

// convergence is item 9: how fast measures near their limits as cells get smaller.
func convergence() evidence.Item {
	return evidence.Item{
		Number: 9, Name: "Convergence in the cell size",
		Source: "a cell belongs to a box when its centre does, so volumes err as lattice points in bodies do. Faces along the lattice: each is off by up to half a cell all at once, order 1. Edges that are badly approximated by rows " +
			"of cells: rounding averages out along them, order 2 (Hardy & Littlewood). A curved sector boundary meets rows of every slope, each over a length that grows as √h: order 1.5 (D. G. Kendall, Quart. J. Math. 19 (1948) 1, for discs), " +
			"and in space too, since an aligned pyramid repeats its section. The clear disc keeps clear of whole cells: short by a fixed number of cells in the mean, order 1. Both sources from memory",
		Settles: "that cells are the only error, that it vanishes, and how fast: half the cell size halves a length's error, and volumes gain more",
		Cannot:  "the error at one cell size in one case, which is as much chance as size",
		Check:   checkConvergence,
	}
}

func checkConvergence(d *door.Door, s evidence.Size) ([]evidence.Finding, error) {
	parts := []func(*door.Door, evidence.Size) ([]evidence.Finding, error){alignedPlane, alignedSpace, turnedPlane, turnedSpace, sectorPlane, sectorSpace, clearPlane, clearSpace}
	return gather(len(parts), func(i int) ([]evidence.Finding, error) { return parts[i](d, s) })
}

// trend is the errors of one measure: for each cell size, root mean squares or means of found less expected.
type trend struct {
	cells, size []float64
	wrong       []float64 // the same with the canary's expectation
	sample      string
}

// order is the slope of the errors against the cell size, both in logarithms.
func order(cells, size []float64) float64 {
	var n, sx, sy, sxx, sxy float64
	for i := range cells {
		x, y := math.Log(cells[i]), math.Log(size[i])
		n, sx, sy, sxx, sxy = n+1, sx+x, sy+y, sxx+x*x, sxy+x*y
	}
	return (n*sxy - sx*sy) / (n*sxx - sx*sx)
}

func (e trend) finding(quantity, where, source string, expected float64, wrong string) evidence.Finding {
	last := len(e.size) - 1
	f := evidence.Finding{Quantity: "observed order: " + quantity, Where: where, Source: source, Sample: fmt.Sprintf("%d cell sizes, %g to %g mm; %s", last+1, e.cells[0], e.cells[last], e.sample),
		Comparison: evidence.Comparison{Expected: expected, Found: order(e.cells, e.size), Tolerance: 0.2}, Because: "± 0.2, as demanded",
		Note: fmt.Sprintf("Error %.2g at the largest cells, %.2g at the smallest.", e.size[0], e.size[last])}
	f.Canary = evidence.Canary{Wrong: wrong, Comparison: evidence.Comparison{Expected: expected, Found: order(e.cells, e.wrong), Tolerance: 0.2}}
	return f
}

// mean gathers one error and its canary.
type mean struct{ n, sum, square, wrongSum, wrongSquare float64 }

func (m *mean) add(e, wrong float64) {
	m.n++
	m.sum, m.square = m.sum+e, m.square+e*e
	m.wrongSum, m.wrongSquare = m.wrongSum+wrong, m.wrongSquare+wrong*wrong
}

// rms adds the root mean square to the errors, bias the mean.
func (e *trend) rms(cell float64, m mean) {
	e.cells, e.size, e.wrong = append(e.cells, cell), append(e.size, math.Sqrt(m.square/m.n)), append(e.wrong, math.Sqrt(m.wrongSquare/m.n))
}

func (e *trend) bias(cell float64, m mean) {
	e.cells, e.size, e.wrong = append(e.cells, cell), append(e.size, math.Abs(m.sum/m.n)), append(e.wrong, math.Abs(m.wrongSum/m.n))
}

// halved are n cell sizes, each half of the one before.
func halved(largest float64, n int) (cells []float64) {
	for range n {
		cells = append(cells, largest)
		largest /= 2
	}
	return cells
}

// The grains of this item have a seed of 2.2 mm off the middle of the body and grow at 1 mm/h, a faces and c faces alike.
const freeSeed, freeX, freeY, tooFast = 2.2, 0.3709, -0.5291, 1.02

// volumes compares the solid share of a body, hour by hour, with the volume of a free grain of a grown length; one mean for each cell size.
func (g grain) volumes(r *door.Results, into []mean) error {
	of, err := cellOf(r, g.cells)
	if err != nil {
		return err
	}
	history, err := r.Table("history")
	if err != nil {
		return err
	}
	x, err := r.Numbers("history", "time_h", "solid_fraction", "undercooling_K")
	if err != nil {
		return err
	}
	start := math.Inf(1)
	for i, t := range x[0] {
		if x[2][i] >= 10 {
			start = math.Min(start, t)
		}
	}
	for i, t := range x[0] {
		if l := t - start + onTheWay; l >= 2 && l <= g.to {
			solid := x[1][i] * g.all
			into[of[history.Value(i, "case_id")]].add((solid-g.volume(l))/g.volume(g.to), (solid-g.volume(tooFast*l))/g.volume(g.to))
		}
	}
	return nil
}

// cellOf tells which of the cell sizes a case has.
func cellOf(r *door.Results, cells []float64) (map[any]int, error) {
	runs, err := r.Table("runs")
	if err != nil {
		return nil, err
	}
	of := map[any]int{}
	for i := range runs.Len() {
		h, _ := runs.Value(i, "cell_mm").(float64)
		n := slices.Index(cells, h)
		if n < 0 {
			return nil, fmt.Errorf("%s: a cell of %v mm, which is not of the study", r.Dir, h)
		}
		of[runs.Value(i, "case_id")] = n
	}
	return of, nil
}

// onTheWay is what a face grows while the programme jumps to 10 K: half a ten-thousandth of an hour at 1 mm/h.
const onTheWay = 0.5e-4

const (
	faster2 = "growth rate 2 % higher"
	lattice = "lattice points in boxes: mean square over positions"
)

func alignedPlane(d *door.Door, s evidence.Size) ([]evidence.Finding, error) {
	const side, to = 20.0, 7.9271
	e, err := grain{name: "plane", cells: halved(0.8, evidence.Of(s, 5, 4)), body: block("ab", 1, false, side, side), rateC: 1, to: to, all: side * side,
		volume: func(l float64) float64 { return math.Pow(freeSeed+2*l, 2) }}.trend(d)
	if err != nil {
		return nil, err
	}
	return []evidence.Finding{e.finding("volume, root mean square", "2D, faces along the cells", lattice, 1, faster2)}, nil
}

func alignedSpace(d *door.Door, s evidence.Size) ([]evidence.Finding, error) {
	const side, deep, to = 16.0, 8.0, 5.8713
	e, err := grain{name: "space", cells: halved(1, evidence.Of(s, 5, 3)), body: block("", 1, false, side, side, deep), rateC: 1, to: to, all: side * side * deep,
		volume: func(l float64) float64 { return math.Pow(freeSeed+2*l, 2) * l }}.trend(d)
	if err != nil {
		return nil, err
	}
	return []evidence.Finding{e.finding("volume, root mean square", "3D, faces along the cells", lattice, 1, faster2)}, nil
}

// grain is one seed, grown at three places for each cell size.
type grain struct {
	name    string
	cells   []float64
	body    string
	turnDeg float64
	rateC   float64
	to, all float64 // hours of growth, volume of the body
	volume  func(l float64) float64
}

func (g grain) trend(d *door.Door) (e trend, err error) {
	means := make([]mean, len(g.cells))
	for j, at := range [][2]float64{{freeX, freeY}, {0.1137, 0.2919}, {-0.4343, 0.5711}} {
		r, err := d.Run(fmt.Sprintf("order-%s-%d", g.name, j), scene{body: g.body, rateA: 1, rateC: g.rateC, seeds: []pose{{at[0], at[1], freeSeed, g.turnDeg}}, holdH: g.to, history: true,
			more: varied("body.cell_mm", g.cells)}.text())
		if err != nil {
			return e, err
		}
		if err := g.volumes(r, means); err != nil {
			return e, err
		}
	}
	for i, cell := range g.cells {
		e.rms(cell, means[i])
	}
	e.sample = fmt.Sprintf("%.0f hours of a grain at three places", means[0].n)
	return e, nil
}

// The tangent of goldenDeg is the golden ratio's 0.618, which no fraction of small numbers comes near: no edge runs along rows of cells.
const goldenDeg = 31.71747441146101

func turnedPlane(d *door.Door, s evidence.Size) ([]evidence.Finding, error) {
	return golden(d, "2D, turned so that tan = 0.618…", "turned-plane", halved(0.4, evidence.Of(s, 5, 3)), block("ab", 1, false, turnedSide, turnedSide), 1)
}

// turnedSpace: c faces four times as fast are through long before the hours that are compared.
func turnedSpace(d *door.Door, s evidence.Size) ([]evidence.Finding, error) {
	return golden(d, "3D, turned about the vertical so that tan = 0.618…, c faces through", "turned-space", halved(evidence.Of(s, 0.8, 0.4), evidence.Of(s, 5, 3)), block("", 1, false, turnedSide, turnedSide, turnedDeep), turnedDeep)
}

const turnedSide, turnedDeep = 20.0, 2.0

func golden(d *door.Door, where, name string, cells []float64, body string, deep float64) ([]evidence.Finding, error) {
	e, err := grain{name: name, cells: cells, body: body, turnDeg: goldenDeg, rateC: 4, to: 5.3127, all: turnedSide * turnedSide * deep,
		volume: func(l float64) float64 { return deep * math.Pow(freeSeed+2*l, 2) }}.trend(d)
	if err != nil {
		return nil, err
	}
	return []evidence.Finding{e.finding("volume, root mean square", where, "lattice points under a line of badly approximable slope (G. H. Hardy & J. E. Littlewood, Proc. London Math. Soc. 20 (1922) 15, from memory)", 2, faster2)}, nil
}

// spread varies a key over n values in the middle of equal parts of an interval from 0.
func spread(key string, top float64, n int) string {
	half := top / float64(n) / 2
	return fmt.Sprintf("[[vary]]\nkey = %q\nfrom = %v\nto = %v\ncount = %d", key, half, top-half, n)
}

func clearPlane(d *door.Door, s evidence.Size) ([]evidence.Finding, error) {
	return clearOrder(d, "plane", "2D, turned by 0 to 45°", halved(0.4, evidence.Of(s, 5, 3)), evidence.Of(s, 48, 12), block("ab", 1, false, clearSide, clearSide))
}

// clearSpace: c faces four times as fast have gone through when the a faces stop, so the clear columns are the box from above.
func clearSpace(d *door.Door, s evidence.Size) ([]evidence.Finding, error) {
	return clearOrder(d, "space", "3D, turned about the vertical by 0 to 45°", halved(evidence.Of(s, 0.8, 0.4), evidence.Of(s, 5, 3)), evidence.Of(s, 24, 4), block("", 1, false, clearSide, clearSide, 2))
}

const clearSide = 14.0

// clearOrder compares the clear disc and square of free boxes with their width.
func clearOrder(d *door.Door, name, where string, cells []float64, turns int, body string) ([]evidence.Finding, error) {
	const to = 3.3
	r, err := d.Run("order-clear-"+name, scene{body: body, rateA: 1, rateC: 4, seeds: []pose{{freeX, freeY, freeSeed, 0}}, holdH: to, more: spread("seed.1.turn_deg", 45, turns) + "\n" + varied("body.cell_mm", cells)}.text())
	if err != nil {
		return nil, err
	}
	of, err := cellOf(r, cells)
	if err != nil {
		return nil, err
	}
	runs, err := r.Table("runs")
	if err != nil {
		return nil, err
	}
	discs, squares := make([]mean, len(cells)), make([]mean, len(cells))
	for i := range runs.Len() {
		n := of[runs.Value(i, "case_id")]
		disc, _ := runs.Value(i, "clear_diameter_mm").(float64)
		square, _ := runs.Value(i, "clear_square_mm").(float64)
		discs[n].add(disc-freeSeed-2*to, disc-freeSeed-2*to*tooFast)
		squares[n].add(square-freeSeed-2*to, square-freeSeed-2*to*tooFast)
	}
	sample := fmt.Sprintf("%d turns", turns)
	disc, square := trend{sample: sample}, trend{sample: sample}
	for i, cell := range cells {
		disc.bias(cell, discs[i])
		square.bias(cell, squares[i])
	}
	return []evidence.Finding{
		disc.finding("clear diameter, mean", where, "a disc that keeps clear of whole cells", 1, faster2),
		square.finding("clear square, mean", where, "a square that keeps clear of whole cells", 1, faster2),
	}, nil
}
