package scene

import (
	"fmt"
	"math"
	"strings"

	"onegrain/analysis/chart/scale"
)

// count is what a body is made of at an hour; of the whole body, not of its planes alone.
type count struct {
	seeded, stray part
	largest       int32               // stray; -1 for none
	cells, late   int                 // of the body, and those of them that are captured later
	sector        [seedSector + 1]int // cells by the face that captured them
	firstH, lastH float64             // captures; firstH > lastH where nothing is solid
}

// part of a body: grains with at least one cell, and their cells.
type part struct{ grains, cells int }

func counted(c *Cells, untilH float64) count {
	n, size := count{largest: -1, firstH: math.Inf(1), lastH: math.Inf(-1)}, make([]int, len(c.Grains))
	for i, g := range c.Grain {
		switch t := float64(c.TimeH[i]); {
		case g == outside:
			continue
		case g >= 0 && t > untilH:
			n.late++
		case g >= 0:
			size[g]++
			n.firstH, n.lastH = math.Min(n.firstH, t), math.Max(n.lastH, t)
			n.sector[c.Sector[i]]++
			if !c.Grains[g].Seeded && (n.largest < 0 || size[g] > size[n.largest]) {
				n.largest = g
			}
		}
		n.cells++
	}
	for g, cells := range size {
		kind := &n.stray
		if c.Grains[g].Seeded {
			kind = &n.seeded
		}
		kind.cells += cells
		kind.grains += min(cells, 1)
	}
	return n
}

func (n count) solid() int { return n.seeded.cells + n.stray.cells }

// share writes a part of the body in hundredths, and never rounds a little to nothing or nearly all
// to all.
func (n count) share(part int) string {
	switch p := 100 * float64(part) / math.Max(1, float64(n.cells)); {
	case part == 0:
		return "0 %"
	case part == n.cells:
		return "100 %"
	case p < 0.1:
		return "less than 0.1 %"
	case p > 99.9:
		return "more than 99.9 %"
	default:
		return scale.Number(math.Round(10*p)/10, 1) + " %"
	}
}

func several(n int, what string) string {
	if n == 0 {
		return "no " + what
	}
	return scale.Plural(n, what)
}

// contactsText says which boundaries are seen in the views.
func (k *picture) contactsText() string {
	met := map[[2]int32]bool{} // only counted
	joined, least, most := 0, math.Inf(1), 0.0
	for _, p := range k.views {
		p.each(func(u, v int) {
			for _, q := range [2]int32{p.grain(u+1, v), p.grain(u, v+1)} {
				g := p.grain(u, v)
				pair := [2]int32{min(g, q), max(g, q)}
				if pair[0] < 0 || g == q || met[pair] {
					continue
				}
				met[pair] = true
				deg := k.sheet.AngleDeg(pair[0], pair[1])
				least, most = math.Min(least, deg), math.Max(most, deg)
				if deg <= k.sheet.JoinDeg {
					joined++
				}
			}
		})
	}
	if len(met) == 0 {
		return "No two grains touch in what is shown."
	}
	return fmt.Sprintf("%s of %s to %s, of which %d within the joining angle of %s.",
		several(len(met), "contact"), degrees(least), degrees(most), joined, degrees(k.sheet.JoinDeg))
}

// degrees writes an angle with as many digits as it has, two at most.
func degrees(x float64) string {
	return strings.TrimRight(strings.TrimRight(scale.Number(x, 2), "0"), ".") + "°"
}

// clearText says where the clear piece is.
func (k *picture) clearText() string {
	d := k.sheet.Clear
	low, high := d.AtMM[0]-d.DiameterMM/2, d.AtMM[0]+d.DiameterMM/2
	switch {
	case d.DiameterMM == 0 || k.growing:
		return ""
	case k.cells.Flat == 1:
		return fmt.Sprintf(" The clear piece runs from x = %s to %s mm.", scale.Number(low, 1), scale.Number(high, 1))
	}
	return fmt.Sprintf(" The clear piece is %s mm across, about x = %s mm, y = %s mm.",
		scale.Number(d.DiameterMM, 1), scale.Number(d.AtMM[0], 1), scale.Number(d.AtMM[1], 1))
}

// alt is the text alternative of a picture: what it is, how it is seen, and what is seen.
func (k *picture) alt() string {
	text, between := k.heading, ", "
	for _, v := range k.views {
		text += between + strings.ToLower(v.caption()[:1]) + v.caption()[1:]
		between = "; "
	}
	return k.sheet.titled(text+". "+k.text) + k.clearText()
}

// titled is a text with the title of the sheet before it.
func (s Sheet) titled(text string) string {
	if s.Title == "" {
		return text
	}
	return strings.TrimRight(s.Title, ".") + ": " + text
}
