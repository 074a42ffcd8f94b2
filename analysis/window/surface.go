package window

import (
	"fmt"
	"math"
)

// raster holds a height at each crossing of columns and rows, NaN where there is none.
type raster struct {
	columns, rows []float64
	height        [][]float64 // [column][row]
}

func newRaster(columns, rows []float64) *raster {
	r := &raster{columns: columns, rows: rows, height: make([][]float64, len(columns))}
	for i := range r.height {
		r.height[i] = make([]float64, len(rows))
		for j := range r.height[i] {
			r.height[i][j] = math.NaN()
		}
	}
	return r
}

const (
	methodGrid  = "log Λ of the computed cases, linear between neighbours on the grid"
	methodPlate = "log Λ of the computed cases by a thin-plate spline; inner and outer lines by the error it makes at each case when it is left out"
	methodPlane = "logistic regression of the counts (D. Firth, Biometrika 80 (1993) 27); inner and outer lines by its 95 % band"
	fine        = 41 // columns and rows of a surface that is no grid of cases
)

// surface finds limit and box over two axes.
func (v *view) surface() (*Contours, []Box) {
	switch {
	case v.counted():
		return v.plane()
	case len(v.columns)*len(v.rows) <= 4*len(v.points):
		return v.grid()
	}
	return v.scattered()
}

// grid reads the limit off cases that stand on a grid.
func (v *view) grid() (*Contours, []Box) {
	c := &Contours{Method: methodGrid}
	mean := v.onGrid(func(p Point) float64 { return p.level() })
	c.Line = v.lines(mean, level(v.wanted))
	if _, most := v.s.placings(); most > 0 {
		c.Inner = v.lines(v.onGrid(func(p Point) float64 { return level(float64(p.Interval.Low)) }), level(v.wanted))
		c.Outer = v.lines(v.onGrid(func(p Point) float64 { return level(float64(p.Interval.High)) }), level(v.wanted))
		c.Method += "; inner and outer lines by the ends of the 95 % intervals"
	}
	return c, v.gridBox()
}

// onGrid lays a value of the points out on their grid.
func (v *view) onGrid(of func(Point) float64) *raster {
	r := newRaster(v.columns, v.rows)
	for _, p := range v.points {
		r.height[indexOf(v.columns, float64(p.X))][indexOf(v.rows, float64(p.Y))] = of(p)
	}
	return r
}

// indexOf a value that occurs in an ordered list.
func indexOf(list []float64, x float64) int {
	low, high := 0, len(list)-1
	for low < high {
		mid := (low + high) / 2
		if list[mid] < x {
			low = mid + 1
		} else {
			high = mid
		}
	}
	return low
}

// gridBox is the largest box of a grid whose cases are all there and all reach the wanted chance.
func (v *view) gridBox() []Box {
	good := newRaster(v.columns, v.rows)
	for _, p := range v.points {
		if p.sure(v.wanted) {
			good.height[indexOf(v.columns, float64(p.X))][indexOf(v.rows, float64(p.Y))] = 1
		}
	}
	return v.boxOf(good)
}

// plane is the limit by a regression through the counts, over the box that holds the cases.
func (v *view) plane() (*Contours, []Box) {
	f := v.regress()
	if f == nil {
		return nil, v.countedBox(nil)
	}
	r := v.finer()
	limit := math.Log(v.wanted / (1 - v.wanted))
	low, high := newRaster(r.columns, r.rows), newRaster(r.columns, r.rows)
	for i, x := range r.columns {
		for j, y := range r.rows {
			eta, se := f.line(x, y)
			r.height[i][j], low.height[i][j], high.height[i][j] = -eta, 1.96*se-eta, -1.96*se-eta
		}
	}
	return &Contours{Line: v.lines(r, -limit), Inner: v.lines(low, -limit), Outer: v.lines(high, -limit), Method: methodPlane}, v.countedBox(f)
}

// countedBox is a box over counted cases: of the grid where they stand on one, else of the fit.
func (v *view) countedBox(f *fit) []Box {
	if len(v.columns)*len(v.rows) <= 4*len(v.points) {
		return v.gridBox()
	}
	if f == nil || v.means == "" {
		return nil
	}
	r := v.finer()
	for i, x := range r.columns {
		for j, y := range r.rows {
			if eta, se := f.line(x, y); expit(eta-1.96*se) >= v.wanted {
				r.height[i][j] = 1
			}
		}
	}
	v.strike(r)
	return v.checked(v.boxOf(r))
}

// finer is a raster over the range of the cases of the slice, even on the scales of the axes.
func (v *view) finer() *raster {
	steps := func(a *Axis, values []float64) []float64 {
		low, high := a.scaled(values[0]), a.scaled(values[len(values)-1])
		out := make([]float64, fine)
		for k := range out {
			out[k] = a.unscaled(low + (high-low)*float64(k)/(fine-1))
		}
		out[0], out[fine-1] = values[0], values[len(values)-1]
		return out
	}
	return newRaster(steps(v.x, v.columns), steps(v.y, v.rows))
}

// scattered makes a surface through cases that stand on no grid.
func (v *view) scattered() (*Contours, []Box) {
	pl := newPlate(v)
	if pl == nil {
		v.notes = append(v.notes, "the cases are too few, or lie too much on one line, for a limit over two axes")
		return nil, nil
	}
	r, limit := v.finer(), level(v.wanted)
	hull := newHull(v)
	for i, x := range r.columns {
		for j, y := range r.rows {
			if hull.holds(v.unit(x, y)) {
				r.height[i][j] = pl.at(v.unit(x, y))
			}
		}
	}
	for i, line := range v.nearest(r) {
		for j, n := range line {
			if p := v.points[n]; p.Verdict == never || p.Verdict == unknown {
				r.height[i][j] = math.NaN()
			}
		}
	}
	c := &Contours{Line: v.lines(r, limit), Inner: v.lines(r, limit-pl.error), Outer: v.lines(r, limit+pl.error), Method: methodPlate}
	v.means = fmt.Sprintf("a smooth surface through the cases (expected strays right to within %.2g %% at 95 %% of them when each is left out)", max(0.1, 100*math.Expm1(pl.error)))
	good := newRaster(r.columns, r.rows)
	for i := range r.columns {
		for j := range r.rows {
			if r.height[i][j]+pl.error <= limit {
				good.height[i][j] = 1
			}
		}
	}
	v.strike(good)
	return c, v.checked(v.boxOf(good))
}

// strike takes out the places whose nearest case does not reach the wanted chance for sure.
func (v *view) strike(good *raster) {
	for i, line := range v.nearest(good) {
		for j, n := range line {
			if !v.points[n].sure(v.wanted) {
				good.height[i][j] = math.NaN()
			}
		}
	}
}

// checked keeps a box of a surface only where no case in it gainsays, and two or more bear it out.
func (v *view) checked(boxes []Box) []Box {
	for _, b := range boxes {
		for _, p := range v.points {
			if inside(b, p) && !p.sure(v.wanted) {
				return nil
			}
		}
		if b.Cases < 2 {
			return nil
		}
	}
	return boxes
}

func inside(b Box, p Point) bool {
	x, y := float64(p.X), float64(p.Y)
	return x >= b.X.From && x <= b.X.To && (b.Y == nil || y >= b.Y.From && y <= b.Y.To)
}

// unit are the coordinates of a place, each from 0 to 1 over the range of the slice, on the scales of the axes.
func (v *view) unit(x, y float64) [2]float64 {
	along := func(a *Axis, values []float64, x float64) float64 {
		low, high := a.scaled(values[0]), a.scaled(values[len(values)-1])
		return (a.scaled(x) - low) / (high - low)
	}
	return [2]float64{along(v.x, v.columns, x), along(v.y, v.rows, y)}
}

// nearest is, for each place of a raster, the index of the case nearest to it. All rasters of finer are alike, so it is found once.
func (v *view) nearest(r *raster) [][]int {
	if v.near != nil {
		return v.near
	}
	units := make([][2]float64, len(v.points))
	for i, p := range v.points {
		units[i] = v.unit(float64(p.X), float64(p.Y))
	}
	for _, x := range r.columns {
		line := make([]int, len(r.rows))
		for j, y := range r.rows {
			at, least := v.unit(x, y), math.Inf(1)
			for i, u := range units {
				if d := (u[0]-at[0])*(u[0]-at[0]) + (u[1]-at[1])*(u[1]-at[1]); d < least {
					line[j], least = i, d
				}
			}
		}
		v.near = append(v.near, line)
	}
	return v.near
}
