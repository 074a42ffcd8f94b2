package chart

import (
	"fmt"
	"math"
	"strings"

	"onegrain/analysis/chart/scale"
	"onegrain/analysis/chart/tint"
)

// said is the text alternative of a picture: what it is, how it is seen, and what is seen.
func (k *picture) said(c *Cells, shown []*view) string {
	var planes []string
	for _, v := range shown {
		planes = append(planes, strings.ToLower(v.caption()[:1])+v.caption()[1:])
	}
	text := k.heading
	if len(planes) > 0 {
		text += ", " + strings.Join(planes, "; ")
	}
	if k.sheet.Title != "" {
		text = strings.TrimRight(k.sheet.Title, ".") + ": " + text
	}
	return text + ". " + k.seen + k.sheet.Clear.told(c)
}

// census is what a body is made of at an hour.
type census struct {
	seeded, strays           int // grains with at least one cell
	cells, inSeeded, inStray int
	a, c                     int // cells captured by a (and b) faces, by c faces
}

// tally counts the cells of the whole body, not of its planes alone.
func tally(c *Cells, untilH float64) (n census) {
	n.seeded, n.strays = present(c, untilH)
	for i, g := range c.Grain {
		if g == outside {
			continue
		}
		n.cells++
		if g < 0 || float64(c.TimeH[i]) > untilH {
			continue
		}
		if c.Grains[g].Seeded {
			n.inSeeded++
		} else {
			n.inStray++
		}
		switch s := c.Sector[i]; {
		case s < 4:
			n.a++
		case s < seedSector:
			n.c++
		}
	}
	return n
}

// share writes a part of the body in hundredths, and never rounds a little to nothing or nearly all to all.
func (n census) share(part int) string {
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

func (n census) grains() string {
	return fmt.Sprintf("%s and %s: the seeded ones are %s of the body, strays %s, liquid %s.", capital(several(n.seeded, "seeded grain")), several(n.strays, "stray"),
		n.share(n.inSeeded), n.share(n.inStray), n.share(n.cells-n.inSeeded-n.inStray))
}

func (n census) sectors() string {
	return fmt.Sprintf("The a and b sectors are %s of the body, the c sectors %s, liquid %s.", n.share(n.a), n.share(n.c), n.share(n.cells-n.inSeeded-n.inStray))
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

func several(n int, what string) string {
	switch n {
	case 0:
		return "no " + what
	case 1:
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// widestDeg is the largest disorientation of tetragonal crystals (point group 422): 98.42 degrees.
const widestDeg = 98.43

// angleKind is the line of a border with a disorientation.
func (s Sheet) angleKind(deg float64) lineKind {
	if deg <= s.JoinDeg {
		return joined
	}
	share := math.Min(1, (deg-s.JoinDeg)/(widestDeg-s.JoinDeg))
	return angled + lineKind(math.Round(share*(angleClasses-1)))
}

// borderPicture shows grains pale, and their borders by angle.
func borderPicture(c *Cells, s Sheet, shown []*view) *picture {
	k := &picture{heading: s.headed("Boundaries between grains, by disorientation"), sheet: s, hatched: true, byAngle: true}
	seeded, stray := shadeOf(tint.Tint{Lightness: 0.955, Chroma: 0.004, HueDeg: 250}), shadeOf(tint.Tint{Lightness: 0.88, Chroma: 0.004, HueDeg: 250})
	stray.stroke = tint.Tint{Lightness: 0.72, Chroma: 0.006, HueDeg: 250}.Color()
	k.shade = func(p *view, u, v int) shade {
		if p.stray(p.grain(u, v)) {
			return stray
		}
		return seeded
	}
	k.legend = []entry{
		{line: joined, text: "at most " + degrees(s.JoinDeg) + ": joined"},
		{area: seededArea, shades: []shade{seeded}, text: "seeded grain"},
		{area: strayArea, shades: []shade{stray}, text: "stray grain"},
		{area: liquidArea, text: "liquid"},
		{line: front, text: "growth front"},
		{line: seedLine, text: nucleusText},
	}
	k.scale = &colourBar{low: s.JoinDeg, high: widestDeg, ramp: tint.Angle, title: "disorientation above " + degrees(s.JoinDeg) + " (degrees)"}
	marks, _ := scale.RoundSteps(0, widestDeg, 6)
	k.scale.marks = []float64{s.JoinDeg}
	if s.JoinDeg != math.Round(s.JoinDeg) {
		k.scale.decimals = 1
	}
	for _, m := range marks {
		if m > s.JoinDeg+8 && m < widestDeg-8 {
			k.scale.marks = append(k.scale.marks, m)
		}
	}
	k.scale.marks = append(k.scale.marks, math.Floor(widestDeg))
	k.seen = k.angles(shown)
	return k
}

// degrees writes an angle with as many digits as it has, two at most.
func degrees(x float64) string {
	text := strings.TrimRight(strings.TrimRight(scale.Number(x, 2), "0"), ".")
	return text + "°"
}

// angles says which borders are seen in the views.
func (k *picture) angles(shown []*view) string {
	met := map[[2]int32]bool{} // only counted
	low, widest := 0, 0.0
	least := math.Inf(1)
	for _, p := range shown {
		for v := range p.nv {
			for u := range p.nu {
				for _, q := range [][2]int{{u + 1, v}, {u, v + 1}} {
					a, b := p.grain(u, v), p.grain(q[0], q[1])
					pair := [2]int32{min(a, b), max(a, b)}
					if a < 0 || b < 0 || a == b || met[pair] {
						continue
					}
					met[pair] = true
					deg := k.sheet.AngleDeg(pair[0], pair[1])
					least, widest = math.Min(least, deg), math.Max(widest, deg)
					if deg <= k.sheet.JoinDeg {
						low++
					}
				}
			}
		}
	}
	if len(met) == 0 {
		return "No two grains touch in what is shown."
	}
	return fmt.Sprintf("%s of %s to %s, of which %d within the joining angle of %s.", several(len(met), "contact"), degrees(least), degrees(widest), low, degrees(k.sheet.JoinDeg))
}
