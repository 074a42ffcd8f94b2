package scene

import (
	"fmt"
	"math"
	"slices"

	"onegrain/analysis/chart/scale"
	"onegrain/analysis/chart/tint"
)

// picture is what sets the kinds of pictures apart.
type picture struct {
	cells   *Cells
	sheet   Sheet
	measure Measure
	views   []*view
	count   count
	growing bool // cells are captured later: there is no clear piece yet

	heading  string
	text     string                // what is seen, in a sentence
	bySector bool                  // the sectors of a grain are areas of their own
	byAngle  bool                  // boundaries are coloured by their angle
	plain    bool                  // strays are not hatched
	shade    func(index int) shade // colour of a solid cell
	legend   []entry               // all that it may have to explain, and then what is seen
	contours []float64             // hours at which contours are drawn; they need a bar
	decimals int                   // of their labels
	bar      *Bar                  // nil without colour scale
	compass  *[9]float64           // rows a, b, c of a crystal whose axes are shown; nil without

	seen  map[sign]bool
	noted label       // of the cell that was noted last
	lines []kindLines // of each view, once it was looked at
	plan  *plan       // nil until the layout is found
}

func newPicture(c *Cells, s Sheet, measure Measure) *picture {
	n := counted(c, s.untilH())
	return &picture{cells: c, sheet: s, measure: measure, views: s.views(c, n), count: n,
		growing: n.late > 0, seen: map[sign]bool{}, noted: label{grain: outside}}
}

// head is the heading of a picture, with the hour where it is not the end.
func (k *picture) head(what string) {
	k.heading = what
	if k.sheet.AtH != 0 {
		k.heading += " at " + scale.Number(k.sheet.AtH, 1) + " h"
	}
}

// byGrain gives the seeded grains and the strays each their colours in turn.
func (k *picture) byGrain(seeded, strays []shade) {
	shades, turn := make([]shade, len(k.cells.Grains)), map[bool]int{}
	for g, grain := range k.cells.Grains {
		list := strays
		if grain.Seeded {
			list = seeded
		}
		shades[g] = list[turn[grain.Seeded]%len(list)]
		turn[grain.Seeded]++
	}
	k.shade = func(i int) shade { return shades[k.cells.Grain[i]] }
}

// grains draws which cells belong to which grain: seeded grains in cool colours, strays in warm
// ones and hatched, the boundaries between grains, those of low angle thinner.
func (k *picture) grains() {
	seeded, strays := shadesOf(tint.Seeded()), shadesOf(tint.Strays())
	k.head("Grains")
	k.byGrain(seeded, strays)
	k.legend = append([]entry{
		areaEntry(fmt.Sprintf("seeded grains (%d in the body)", k.count.seeded.grains), seededGround, seeded...),
		areaEntry(fmt.Sprintf("stray grains (%d in the body)", k.count.stray.grains), strayGround, strays...),
		liquidEntry(),
	}, boundaryEntries()...)
	n := k.count
	k.text = scale.Capital(fmt.Sprintf("%s and %s: the seeded ones are %s of the body, strays %s, liquid %s.",
		several(n.seeded.grains, "seeded grain"), several(n.stray.grains, "stray"),
		n.share(n.seeded.cells), n.share(n.stray.cells), n.share(n.cells-n.solid())))
}

func liquidEntry() entry { return areaEntry("liquid", liquidGround, shade{}) }

// boundaryEntries explain the lines between grains, and between grains and liquid or a nucleus.
func boundaryEntries() []entry {
	return []entry{lineEntry("grain boundary", highAngle), lineEntry("low-angle boundary", lowAngle),
		lineEntry("growth front", front), lineEntry("outline of a stray's start", seedLine)}
}

// sectors draws by which face each cell was captured: the growth sectors, the facet lines between a
// sectors, the boundaries of the c sectors, and the outline of seeds and nuclei; strays are
// hatched.
func (k *picture) sectors() {
	shades := shadesOf(tint.Sectors())
	k.head("Growth sectors")
	k.bySector = true
	k.shade = func(i int) shade { return shades[k.cells.Sector[i]] }
	for i, name := range []string{"+a sector", "−a sector", "+b sector", "−b sector", "+c sector", "−c sector",
		"seed or start of a stray"} {
		k.legend = append(k.legend, areaEntry(name, anyGround, shades[i]))
	}
	k.legend = append(k.legend, liquidEntry(), areaEntry("hatched: stray grain", strayGround, shades...),
		lineEntry("facet line a/a", facetAA), lineEntry("boundary a/c", facetAC))
	k.legend = append(k.legend, boundaryEntries()[:3]...)
	if g := slices.IndexFunc(k.cells.Grains, Grain.seeded); g >= 0 {
		k.compass = &k.cells.Grains[g].Axes
	}
	n, of := k.count, k.count.sector
	k.text = fmt.Sprintf("The a and b sectors are %s of the body, the c sectors %s, liquid %s.",
		n.share(of[0]+of[1]+of[2]+of[3]), n.share(of[4]+of[5]), n.share(n.cells-n.solid()))
}

// arrival draws when each cell was captured, in hours from the start of the programme, with
// labelled contours and a colour bar, and with the undercooling at those hours.
func (k *picture) arrival() {
	k.head("Arrival time")
	k.plain = true
	k.legend = append([]entry{liquidEntry()}, boundaryEntries()...)
	k.text = "Nothing is solid yet."
	first, last := span(k.views)
	if first > last {
		return
	}
	k.text = fmt.Sprintf("The earliest cell was captured at %s h, the last one at %s h.",
		scale.Number(first, 1), scale.Number(last, 1))
	if first == last {
		first, last = math.Max(0, first-0.5), last+0.5
	}
	k.contours, k.decimals = scale.RoundSteps(first, last, 8)
	k.bar = &Bar{Low: first, High: last, height: barHeight, Ramp: tint.Arrival,
		Title: "hours from the start of the programme"}
	k.bar.Marks, k.bar.Decimals = scale.RoundSteps(first, last, 6)
	if k.sheet.Programme != nil {
		k.bar.Title += "; undercooling then"
		k.bar.Under, k.bar.height = k.sheet.Programme.kelvin, barHeight+10
	}
	var steps [256]shade
	for i := range steps {
		steps[i] = shadeOf(tint.Arrival((float64(i) + 0.5) / 256))
	}
	k.shade = func(i int) shade { return steps[min(255, int(256*k.bar.share(float64(k.cells.TimeH[i]))))] }
}

// boundaries draws grains pale, and the boundaries between them in the colour of their
// disorientation; those within the joining angle are hollow and blue.
func (k *picture) boundaries() {
	join := k.sheet.JoinDeg
	k.head("Boundaries between grains, by disorientation")
	k.byAngle = true
	seeded := shadeOf(tint.Tint{Lightness: 0.955, Chroma: 0.004, HueDeg: 250})
	stray := shade{tint.Tint{Lightness: 0.88, Chroma: 0.004, HueDeg: 250}.Color(),
		tint.Tint{Lightness: 0.72, Chroma: 0.006, HueDeg: 250}.Color()}
	k.byGrain([]shade{seeded}, []shade{stray})
	k.legend = []entry{
		lineEntry("at most "+degrees(join)+": joined", joined),
		areaEntry("seeded grain", seededGround, seeded),
		areaEntry("stray grain", strayGround, stray),
		liquidEntry(),
		lineEntry("growth front", front),
		lineEntry("outline of a stray's start", seedLine),
	}
	k.bar = &Bar{Low: join, High: widestDeg, height: barHeight, Ramp: tint.Angle,
		Title: "disorientation above " + degrees(join) + " (degrees)"}
	if join != math.Round(join) {
		k.bar.Decimals = 1
	}
	marks, _ := scale.RoundSteps(0, widestDeg, 6)
	marks = slices.DeleteFunc(marks, func(m float64) bool { return m <= join+8 || m >= widestDeg-8 })
	k.bar.Marks = slices.Concat([]float64{join}, marks, []float64{math.Floor(widestDeg)})
	k.text = k.contactsText()
}

// look finds the lines of the views, and what is seen on them.
func (k *picture) look() {
	k.lines = nil
	for _, p := range k.views {
		p.each(func(u, v int) { k.note(p, u, v) })
		lines := k.linesOf(p)
		k.lines = append(k.lines, lines)
		for kind, list := range lines {
			if len(list) > 0 {
				k.seen[sign{line: lineKind(kind)}] = true
			}
		}
		for _, level := range k.contours {
			if len(contour(p, level)) > 0 {
				k.seen[sign{line: contourLine}] = true
			}
		}
	}
}
