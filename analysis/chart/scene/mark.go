package scene

import "math"

const rimSteps = 72

// Rim is the outline of the disc seen from above, in mm: a closed line.
func (d Disc) Rim() (line [][2]float64) {
	for n := range rimSteps + 1 {
		sin, cos := math.Sincos(float64(n%rimSteps) * 2 * math.Pi / rimSteps)
		line = append(line, [2]float64{d.AtMM[0] + d.DiameterMM/2*cos, d.AtMM[1] + d.DiameterMM/2*sin})
	}
	return line
}

// Patch is the outline of the seed's contact patch seen from above, in mm: a closed line, or nil
// where none is known.
func (g Grain) Patch() (line [][2]float64) {
	if g.SizeMM[0] == 0 {
		return nil
	}
	for _, corner := range [5][2]float64{{1, 1}, {-1, 1}, {-1, -1}, {1, -1}, {1, 1}} {
		a, b := corner[0]*g.SizeMM[0]/2, corner[1]*g.SizeMM[1]/2
		x, y := g.AtMM[0]+a*g.Axes[0]+b*g.Axes[3], g.AtMM[1]+a*g.Axes[1]+b*g.Axes[4]
		line = append(line, [2]float64{x, y})
	}
	return line
}

// marks adds the outlines of the seeds on the top face and of the clear piece, which runs from
// bottom to top.
func (k *picture) marks(p *view, lines *kindLines) {
	top := float64(p.v.n)
	for _, g := range k.cells.Grains {
		if patch := g.Patch(); !p.fromAbove() {
			if from, to := p.crossed(patch); from < to {
				lines[seedPatch] = append(lines[seedPatch], [2]point{{from, top}, {to, top}})
			}
		} else if p.layer == k.cells.N[2]-1 {
			lines[seedPatch] = append(lines[seedPatch], p.pieces(patch, 1)...)
		}
	}
	d := k.sheet.Clear
	if d.DiameterMM == 0 || k.growing {
		return
	}
	if p.fromAbove() {
		lines[clearRim] = append(lines[clearRim], p.pieces(d.Rim(), 3)...)
		return
	}
	from, to := p.crossed(d.Rim())
	if k.cells.Flat == 1 {
		from, to = p.u.at(d.AtMM[0]-d.DiameterMM/2), p.u.at(d.AtMM[0]+d.DiameterMM/2)
	}
	const dashes = 12
	for n := 0; n < 2*dashes && from < to; n += 2 { // from a half dash at the bottom to one at the top
		low, high := (float64(n)-0.5)/(2*dashes-1), (float64(n)+0.5)/(2*dashes-1)
		low, high = math.Max(0, low)*top, math.Min(1, high)*top
		lines[clearRim] = append(lines[clearRim], [2]point{{from, low}, {from, high}}, [2]point{{to, low}, {to, high}})
	}
}

// pieces carries a line in mm to the cells of a view from above; of every `of` pieces the last one
// is left out, 1 leaves out none.
func (p *view) pieces(line [][2]float64, of int) (pieces [][2]point) {
	at := func(mm [2]float64) point { return point{p.u.at(mm[0]), p.v.at(mm[1])} }
	for n := range len(line) - 1 {
		if of == 1 || n%of < of-1 {
			pieces = append(pieces, [2]point{at(line[n]), at(line[n+1])})
		}
	}
	return pieces
}

// crossed is where an upright section crosses a closed line seen from above, in cells to the right;
// from > to where it does not.
func (p *view) crossed(line [][2]float64) (from, to float64) {
	from, to = math.Inf(1), math.Inf(-1)
	for n := range len(line) - 1 {
		a, b := line[n], line[n+1]
		if (a[p.along] < p.atMM()) == (b[p.along] < p.atMM()) {
			continue
		}
		t := (p.atMM() - a[p.along]) / (b[p.along] - a[p.along])
		u := p.u.at(a[p.u.of] + t*(b[p.u.of]-a[p.u.of]))
		from, to = math.Min(from, u), math.Max(to, u)
	}
	return from, to
}
