package chart

import (
	"fmt"
	"io"
	"math"

	"onegrain/analysis/chart/scale"
	"onegrain/analysis/chart/tint"
)

// Grains draws which cells belong to which grain: seeded grains in cool colours, strays in warm
// ones and hatched, the borders between grains, those of low angle thinner where the sheet tells
// them. A three-dimensional body is shown by its top layer and by an upright section through the
// largest stray or, without strays, along x through the first seed, at one scale, side by side or,
// where it is elongated, one above the other, or by the cuts that the sheet asks for; a
// two-dimensional body by its plane. The text alternative says in one or two sentences what is
// seen. The error names a faulty array or value, or is that of w.
func Grains(w io.Writer, c *Cells, s Sheet) (alt string, err error) {
	return drawing(w, c, s, grainPicture)
}

// Sectors draws by which face each cell was captured: the growth sectors, the facet lines between a sectors, the borders
// of the c sectors, and the outline of seeds and nuclei; strays are hatched. Views, text and errors as of Grains.
func Sectors(w io.Writer, c *Cells, s Sheet) (alt string, err error) {
	return drawing(w, c, s, sectorPicture)
}

// Arrival draws when each cell was captured, in hours from the start of the programme, with labelled contours and a colour
// bar; where the sheet tells the programme, with the undercooling at those hours. Views, text and errors as of Grains.
func Arrival(w io.Writer, c *Cells, s Sheet) (alt string, err error) {
	return drawing(w, c, s, arrivalPicture)
}

// Boundaries draws the borders between grains in the colour of their disorientation; those within the joining angle are hollow and
// blue. The sheet must tell the angles. Views, text and errors as of Grains.
func Boundaries(w io.Writer, c *Cells, s Sheet) (alt string, err error) {
	if s.AngleDeg == nil || !(s.JoinDeg >= 0 && s.JoinDeg < widestDeg) {
		return "", fmt.Errorf("chart: Boundaries needs AngleDeg, and JoinDeg from 0 to %v, not %v", widestDeg, s.JoinDeg)
	}
	return drawing(w, c, s, borderPicture)
}

// drawing checks what was given and draws the picture that `compose` makes of it.
func drawing(w io.Writer, c *Cells, s Sheet, compose func(*Cells, Sheet, []*view) *picture) (alt string, err error) {
	if err := s.fits(c); err != nil {
		return "", err
	}
	s = s.finished(c)
	shown := s.views(c)
	k := compose(c, s, shown)
	k.explain(k.look(shown), s.Clear)
	return k.said(c, shown), k.draw(w, shown)
}

// fits checks the arrays, the sheet, and one against the other.
func (s Sheet) fits(c *Cells) error {
	if err := c.check(); err != nil {
		return err
	}
	if err := s.check(); err != nil {
		return err
	}
	return s.checkCuts(c)
}

func (s Sheet) check() error {
	if !(s.AtH >= 0) || math.IsInf(s.AtH, 0) {
		return fmt.Errorf("chart: AtH = %v h: wanted an hour of the programme, or 0 for its end", s.AtH)
	}
	for _, x := range [3]float64{s.Clear.AtMM[0], s.Clear.AtMM[1], s.Clear.DiameterMM} {
		if !finite(x) || s.Clear.DiameterMM < 0 {
			return fmt.Errorf("chart: Clear = %v: wanted place and diameter of the clear piece in mm, or 0 for none", s.Clear)
		}
	}
	if s.Format > SVG {
		return fmt.Errorf("chart: Format = %d: wanted PNG or SVG", s.Format)
	}
	return s.Programme.check()
}

// until is the hour up to which captured cells are shown.
func (s Sheet) until() float64 {
	if s.AtH == 0 {
		return math.Inf(1)
	}
	return s.AtH
}

// headed is the heading of a picture, with the hour where it is not the end.
func (s Sheet) headed(what string) string {
	if s.AtH == 0 {
		return what
	}
	return what + " at " + scale.Number(s.AtH, 1) + " h"
}

func grainPicture(c *Cells, s Sheet, shown []*view) *picture {
	seeded, strays := shadesOf(tint.Seeded()), shadesOf(tint.Strays())
	turn := turns(c)
	k := &picture{heading: s.headed("Grains"), sheet: s, hatched: true}
	k.shade = func(p *view, u, v int) shade {
		g := p.grain(u, v)
		if p.stray(g) {
			return strays[turn[g]%len(strays)]
		}
		return seeded[turn[g]%len(seeded)]
	}
	nSeeded, nStray := present(c, s.until())
	k.legend = []entry{
		{area: seededArea, shades: seeded, text: fmt.Sprintf("seeded grains (%d in the body)", nSeeded)},
		{area: strayArea, shades: strays, text: fmt.Sprintf("stray grains (%d in the body)", nStray)},
		{area: liquidArea, text: "liquid"},
	}
	k.legend = append(k.legend, borderEntries()...)
	k.legend = append(k.legend, entry{line: seedLine, text: nucleusText})
	k.seen = tally(c, s.until()).grains()
	return k
}

const nucleusText = "outline of a nucleus"

// borderEntries explain the lines between grains, and between grains and liquid.
func borderEntries() []entry {
	return []entry{{line: highAngle, text: "grain boundary"}, {line: lowAngle, text: "low-angle boundary"},
		{line: front, text: "growth front"}}
}

// turns numbers the seeded grains and the strays each from 0, so that each take their colours in turn.
func turns(c *Cells) []int {
	turn := make([]int, len(c.Grains))
	var next [2]int
	for i, g := range c.Grains {
		kind := 0
		if g.Seeded {
			kind = 1
		}
		turn[i] = next[kind]
		next[kind]++
	}
	return turn
}

// present counts the grains that own at least one cell by an hour.
func present(c *Cells, untilH float64) (seeded, stray int) {
	seen := make([]bool, len(c.Grains))
	for i, g := range c.Grain {
		if g >= 0 && !seen[g] && float64(c.TimeH[i]) <= untilH {
			seen[g] = true
			if c.Grains[g].Seeded {
				seeded++
			} else {
				stray++
			}
		}
	}
	return seeded, stray
}

func sectorPicture(c *Cells, s Sheet, shown []*view) *picture {
	shades := shadesOf(tint.Sectors())
	k := &picture{heading: s.headed("Growth sectors"), sheet: s, hatched: true, bySector: true, compass: newCompass(c, shown)}
	k.shade = func(p *view, u, v int) shade { return shades[p.sector(u, v)] }
	names := []string{"+a sector", "−a sector", "+b sector", "−b sector", "+c sector", "−c sector"}
	for i, name := range names {
		k.legend = append(k.legend, entry{shades: shades[i : i+1], text: name})
	}
	k.legend = append(k.legend,
		entry{shades: shades[seedSector:], text: "seed or nucleus"},
		entry{area: liquidArea, text: "liquid"},
		entry{area: strayArea, shades: shades, text: "hatched: stray grain"},
		entry{line: facetAA, text: "facet line a/a"},
		entry{line: facetAC, text: "boundary a/c"})
	k.legend = append(k.legend, borderEntries()...)
	k.seen = tally(c, s.until()).sectors()
	return k
}

func arrivalPicture(c *Cells, s Sheet, shown []*view) *picture {
	k := &picture{heading: s.headed("Arrival time"), sheet: s}
	k.legend = append([]entry{{area: liquidArea, text: "liquid"}}, borderEntries()...)
	k.legend = append(k.legend, entry{line: seedLine, text: nucleusText})
	k.seen = "Nothing is solid yet."
	first, last, ok := span(shown)
	if !ok {
		k.shade = func(*view, int, int) shade { return shade{} }
		return k
	}
	k.seen = fmt.Sprintf("The earliest cell was captured at %s h, the last one at %s h.", scale.Number(first, 1), scale.Number(last, 1))
	if !(last > first) {
		first, last = math.Max(0, first-0.5), last+0.5
	}
	k.contours, k.decimals = scale.RoundSteps(first, last, 8)
	marks, decimals := scale.RoundSteps(first, last, 6)
	k.scale = &colourBar{low: first, high: last, marks: marks, decimals: decimals, title: "hours from the start of the programme", ramp: tint.Arrival}
	if s.Programme != nil {
		k.scale.title += "; undercooling then"
		k.scale.under = s.Programme.kelvin
	}
	steps := make([]shade, 256)
	for i := range steps {
		steps[i] = shadeOf(tint.Arrival((float64(i) + 0.5) / 256))
	}
	k.shade = func(p *view, u, v int) shade {
		return steps[min(255, int(256*k.scale.share(p.timeH(u, v))))]
	}
	return k
}
