package body

// Rim is the true outline of a body seen from above, as it was given and not as cells make it: what
// is cut out of the body lies within. A round body has an outer radius, a block half widths, a mask
// a picture; of a vertical section the extent along x counts.
type Rim struct {
	OuterMM, InnerMM float64    // radii about the axis; InnerMM is 0 where there is no hole
	HalfMM           [2]float64 // along x and y
	Picture          *Picture   // of a vertical section one row: the columns that hold body
	Edge             [][]int32  // of a picture: per row from −1, the near side first, pixels beside the body
}

// Rim is the true outline. A grid of NewOutline has none.
func (g *Grid) Rim() Rim { return g.rim }

// drawn is the rim of a mask.
func drawn(p Picture, flat int) Rim {
	if flat == VerticalSection {
		p = p.shadow()
	}
	r := Rim{Picture: &p, Edge: make([][]int32, p.Rows+2)}
	for j := -1; j <= p.Rows; j++ {
		for i := -1; i <= p.Columns; i++ {
			if !p.body(i, j) && p.besideBody(i, j) {
				r.Edge[p.Rows-j] = append(r.Edge[p.Rows-j], int32(i))
			}
		}
	}
	return r
}

// shadow is the picture as it looks from above.
func (p Picture) shadow() Picture {
	s := Picture{Columns: p.Columns, Rows: 1, MMPerPixel: p.MMPerPixel, Body: make([]bool, p.Columns)}
	for u, b := range p.Body {
		s.Body[u%p.Columns] = s.Body[u%p.Columns] || b
	}
	return s
}

func (p Picture) body(i, j int) bool {
	return i >= 0 && j >= 0 && i < p.Columns && j < p.Rows && p.Body[j*p.Columns+i]
}

// besideBody tells whether one of the eight pixels around is body.
func (p Picture) besideBody(i, j int) bool {
	for y := j - 1; y <= j+1; y++ {
		if p.body(i-1, y) || p.body(i, y) || p.body(i+1, y) {
			return true
		}
	}
	return false
}

// Across is from where to where the rim reaches along x about x, both in mm; nothing (0, 0) beside
// the body.
func (r Rim) Across(x float64) (low, high float64) {
	p := r.Picture
	if p == nil {
		return -r.HalfMM[0], r.HalfMM[0]
	}
	if !p.At(x, 0) {
		return 0, 0
	}
	i := int(x/p.MMPerPixel + float64(p.Columns)/2)
	first, last := i, i
	for p.body(first-1, 0) {
		first--
	}
	for p.body(last+1, 0) {
		last++
	}
	middle := float64(p.Columns) / 2
	return (float64(first) - middle) * p.MMPerPixel, (float64(last+1) - middle) * p.MMPerPixel
}
