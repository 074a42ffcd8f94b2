package window

import "math"

// lines are the lines of a height through a raster, linear along its edges on the scales of the axes. Cells with an unknown corner have
// none.
func (v *view) lines(r *raster, height float64) [][][2]float64 {
	t := tracer{v: v, r: r, height: height, next: map[edge][]edge{}}
	for i := range len(r.columns) - 1 {
		for j := range len(r.rows) - 1 {
			t.cell(i, j)
		}
	}
	return t.chains()
}

// edge of a raster: from crossing (i, j) to the next one along the columns, or along the rows.
type edge struct {
	i, j int
	up   bool
}

// tracer joins the pieces of a line that lie in the cells.
type tracer struct {
	v      *view
	r      *raster
	height float64
	next   map[edge][]edge
	order  []edge // as they were met
}

// cell finds the pieces in one cell; where the line could run two ways the mean of the corners decides.
func (t *tracer) cell(i, j int) {
	h := t.r.height
	corner := [4]float64{h[i][j], h[i+1][j], h[i+1][j+1], h[i][j+1]}
	side := [4]edge{{i, j, false}, {i + 1, j, true}, {i, j + 1, false}, {i, j, true}}
	var cut []edge
	mean := 0.0
	for k, c := range corner {
		if math.IsNaN(c) {
			return
		}
		mean += c / 4
		if (c <= t.height) != (corner[(k+1)%4] <= t.height) {
			cut = append(cut, side[k])
		}
	}
	switch {
	case len(cut) == 2:
		t.join(cut[0], cut[1])
	case len(cut) == 4 && (corner[0] <= t.height) == (mean <= t.height):
		t.join(cut[0], cut[1])
		t.join(cut[2], cut[3])
	case len(cut) == 4:
		t.join(cut[3], cut[0])
		t.join(cut[1], cut[2])
	}
}

func (t *tracer) join(a, b edge) {
	for _, e := range []edge{a, b} {
		if t.next[e] == nil {
			t.order = append(t.order, e)
		}
	}
	t.next[a], t.next[b] = append(t.next[a], b), append(t.next[b], a)
}

// chains follows the pieces, from open ends first, then around closed lines.
func (t *tracer) chains() [][][2]float64 {
	out := [][][2]float64{}
	used := map[edge]bool{}
	for _, closed := range []bool{false, true} {
		for _, start := range t.order {
			if used[start] || !closed && len(t.next[start]) != 1 {
				continue
			}
			line := [][2]float64{t.place(start)}
			at := start
			used[at] = true
			for more := true; more; {
				more = false
				for _, e := range t.next[at] {
					if !used[e] {
						used[e], at, more = true, e, true
						line = append(line, t.place(e))
						break
					}
				}
			}
			if closed {
				line = append(line, line[0])
			}
			out = append(out, line)
		}
	}
	return out
}

// place is where the line cuts an edge.
func (t *tracer) place(e edge) [2]float64 {
	i, j := e.i, e.j
	k, l := i+1, j
	if e.up {
		k, l = i, j+1
	}
	a, b := t.r.height[i][j], t.r.height[k][l]
	f := (t.height - a) / (b - a)
	between := func(axis *Axis, p, q float64) float64 {
		if p == q {
			return p
		}
		return axis.unscaled(axis.scaled(p) + f*(axis.scaled(q)-axis.scaled(p)))
	}
	return [2]float64{between(t.v.x, t.r.columns[i], t.r.columns[k]), between(t.v.y, t.r.rows[j], t.r.rows[l])}
}
