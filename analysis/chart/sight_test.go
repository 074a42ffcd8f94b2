package chart

import (
	"bytes"
	"io"
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"onegrain/analysis/chart/scale"
	"onegrain/analysis/chart/tint"
)

// sighted is what a legend must tell, found in the arrays of the body and not in the picture: the
// cells of the planes shown, and the pairs of neighbours in them.
func sighted(c *Cells, s Sheet, kind string, planes []Cut) map[string]bool {
	said := map[string]bool{}
	names := []string{"+a sector", "−a sector", "+b sector", "−b sector", "+c sector", "−c sector", "seed or nucleus"}
	label := map[string][2]string{"grains": {"seeded grains", "stray grains"}, "borders": {"seeded grain", "stray grain"}, "sectors": {"", "hatched: stray grain"}}[kind]
	grain := func(i int) int32 {
		if g := c.Grain[i]; g < 0 || s.AtH == 0 || float64(c.TimeH[i]) <= s.AtH {
			return g
		}
		return -1
	}
	step := [3]int{1, c.N[0], c.N[0] * c.N[1]}
	for i := range c.Grain {
		at := [3]int{i % c.N[0], i / c.N[0] % c.N[1], i / step[2]}
		for _, p := range planes {
			if at[p.Axis] != p.index(c) || grain(i) == -2 {
				continue
			}
			if g := grain(i); g == -1 {
				said["liquid"] = true
			} else {
				said[label[map[bool]int{true: 0, false: 1}[c.Grains[g].Seeded]]] = true
				if kind == "sectors" {
					said[names[c.Sector[i]]] = true
				}
			}
			for axis := range 3 {
				if axis != p.Axis && at[axis]+1 < c.N[axis] {
					said[parted(c, s, kind, grain, i, i+step[axis])] = true
				}
			}
		}
	}
	delete(said, "")
	return said
}

// parted is the line between two neighbouring cells, "" for none that needs a word.
func parted(c *Cells, s Sheet, kind string, grain func(int) int32, i, j int) string {
	p, q := grain(i), grain(j)
	switch {
	case p == -2 || q == -2 || p == -1 && q == -1:
	case p == -1 || q == -1:
		return "growth front"
	case p != q && kind == "borders" && s.AngleDeg(min(p, q), max(p, q)) <= s.JoinDeg:
		return "at most 5°: joined"
	case p != q && kind == "borders":
		return "disorientation above 5° (degrees)"
	case p != q && s.LowAngle(p, q):
		return "low-angle boundary"
	case p != q:
		return "grain boundary"
	case (c.Sector[i] == 6) != (c.Sector[j] == 6) && kind != "sectors" && !c.Grains[p].Seeded:
		return "outline of a nucleus"
	case c.Sector[i] == c.Sector[j] || kind != "sectors" || c.Sector[i] == 6 || c.Sector[j] == 6:
	case c.Sector[i] < 4 && c.Sector[j] < 4:
		return "facet line a/a"
	default:
		return "boundary a/c"
	}
	return ""
}

// TestLegendListsWhatIsSeen: the lines of a legend are those that the cells call for, and no
// others, at the end and on the way.
func TestLegendListsWhatIsSeen(t *testing.T) {
	vocabulary := []string{"seeded grain", "stray grain", "hatched: stray grain", "liquid", "growth front", "grain boundary", "low-angle boundary", "outline of a nucleus",
		"facet line a/a", "boundary a/c", "+a sector", "−a sector", "+b sector", "−b sector", "+c sector", "−c sector", "seed or nucleus", "at most 5°: joined",
		"disorientation above 5° (degrees)", "seed", "clear piece"}
	fields := odd()
	fields["puck with strays"], fields["puck"] = puck(0.5, 4), puck(0.5, 0)
	for _, name := range slices.Sorted(maps.Keys(fields)) {
		c := fields[name]
		for kind, draw := range drawers() {
			for _, atH := range []float64{0, 9} {
				s := Sheet{AtH: atH, LowAngle: func(p, q int32) bool { return (p+q)%3 == 0 }, Clear: Disc{[2]float64{0.3, 0.2}, 1.5}}
				s.JoinDeg, s.AngleDeg = 5, func(p, q int32) float64 { return float64((7*p + 11*q) % 98) }
				var planes []Cut
				for _, p := range s.views(c) {
					planes = append(planes, Cut{3 - p.uAxis - p.vAxis, p.cutMM})
				}
				want := sighted(c, s, kind, planes)
				if len(c.Grains) > 0 && slices.ContainsFunc(c.Grains, func(g GrainInfo) bool { return g.Seeded }) {
					want["seed"] = true
				}
				if !slices.ContainsFunc(c.TimeH, func(h float32) bool { return atH > 0 && float64(h) > atH }) {
					want["clear piece"] = true
				}
				got := map[string]bool{}
				for _, line := range drawnSVG(t, draw, c, s).Texts {
					text, _, _ := strings.Cut(line.Text, " (")
					if text, _, _ = strings.Cut(text, ", "); strings.HasPrefix(line.Text, "disorientation") {
						text = line.Text
					}
					if slices.Contains(vocabulary, strings.TrimSuffix(text, "s")) || slices.Contains(vocabulary, text) {
						got[text] = true
					}
				}
				if !maps.Equal(got, want) {
					t.Errorf("%s, %s at %v h: the legend has %v, the cells call for %v", name, kind, atH, slices.Sorted(maps.Keys(got)), slices.Sorted(maps.Keys(want)))
				}
			}
		}
	}
}

// TestMarksStandWhereTheyBelong: the outline of the seed from above, and the clear piece from
// above, in the section and from a corner; a tenth further out there is nothing, and while the body
// grows there is no clear piece yet.
func TestMarksStandWhereTheyBelong(t *testing.T) {
	c := puck(0.5, 0)
	s := Sheet{Clear: Disc{[2]float64{0.5, -1}, 14}}
	shown := s.views(c)
	ink := tint.Ink().Color()
	for kind, draw := range map[string]drawer{"grains": Grains, "borders": drawers()["borders"]} {
		img, early := drawnPNG(t, draw, c, s), drawnPNG(t, draw, c, Sheet{Clear: s.Clear, AtH: 20})
		k := grainPicture(c, s, shown)
		if kind == "borders" {
			k = borderPicture(c, Sheet{JoinDeg: 5, AngleDeg: func(_, _ int32) float64 { return 0 }}, shown)
		}
		k.explain(k.look(shown), s.Clear)
		k.sheet.Title = ""
		for n := range 24 { // the middles of the dashes
			sin, cos := math.Sincos((float64(3*n) + 1) * 2 * math.Pi / rimSteps)
			x, y := spot(t, k, shown, 0, 0.5+7*cos, -1+7*sin)
			if !near(img, x, y, ink) {
				t.Errorf("%s: no rim of the clear piece at %d", kind, n)
			}
			if x, y = spot(t, k, shown, 0, 0.5+7.7*cos, -1+7.7*sin); near(img, x, y, ink) {
				t.Errorf("%s, canary: a rim also a tenth further out at %d", kind, n)
			}
		}
		chord := math.Sqrt(7*7 - 1.25*1.25) // the section stands at y = 0.25
		x, y := spot(t, k, shown, 1, 0.5+chord, 0.05)
		if !near(img, x, y-1, ink) {
			t.Errorf("%s: no clear piece in the section", kind)
		}
		for _, at := range [][2]float64{{1, 0.5}, {-1, 0.5}, {0.5, 1}, {0.5, -1}} {
			if x, y = spot(t, k, shown, 0, at[0], at[1]); !near(img, x, y, tint.Paper().Color()) {
				t.Errorf("%s: no outline of the seed at %v", kind, at)
			}
		}
		if x, y = spot(t, k, shown, 0, 0.5, 6); kind == "grains" && (!near(img, x, y, ink) || near(early, x, y, ink)) {
			t.Errorf("the clear piece is seen at the end: %v, and while it grows: %v", near(img, x, y, ink), near(early, x, y, ink))
		}
	}
	var plain, marked bytes.Buffer
	if _, err := Corner(&plain, c, Sheet{}, false); err != nil {
		t.Fatal(err)
	}
	alt, err := Corner(&marked, c, s, false)
	if err != nil || bytes.Equal(plain.Bytes(), marked.Bytes()) || !strings.Contains(alt, "The clear piece is 14.0 mm across, about x = 0.5 mm, y = −1.0 mm.") {
		t.Errorf("from a corner: %q, %v", alt, err)
	}
}

// TestCornerLegend: of one grain the rays see three or ten things, and of a body without one only liquid.
func TestCornerLegend(t *testing.T) {
	corner := func(sectors bool) drawer {
		return func(w io.Writer, c *Cells, s Sheet) (string, error) { return Corner(w, c, s, sectors) }
	}
	grain := []string{"seeded grains (1 in the body)", "seed", "clear piece, 9.0 mm"}
	sectors := []string{"+a sector", "−a sector", "+b sector", "−b sector", "−c sector", "seed or nucleus", "facet line a/a", "boundary a/c"}
	liquid := grownField([3]int{20, 20, 5}, 0.5, -1, disc(5), nil)
	for _, c := range []struct {
		draw drawer
		of   *Cells
		want []string
	}{{corner(false), puck(0.5, 0), grain}, {corner(true), puck(0.5, 0), append(sectors, grain[1:]...)},
		{corner(false), liquid, []string{"liquid"}}} {
		var got []string
		for _, line := range drawnSVG(t, c.draw, c.of, Sheet{Clear: Disc{DiameterMM: 9 * float64(len(c.of.Grains))}}).Texts[1:] {
			got = append(got, line.Text)
		}
		if n := len(c.want); !slices.Equal(got[len(got)-n:], c.want) || len(got) != n+4 { // and x, y, z with their arrows
			t.Errorf("from a corner the legend is %v, wanted %v", got, c.want)
		}
	}
}

// TestPlotsOverTimeEndSoonAfterTheBodyIsSolid: no programme is followed for more than a tenth
// longer; one that leaves liquid is shown whole.
func TestPlotsOverTimeEndSoonAfterTheBodyIsSolid(t *testing.T) {
	for _, c := range []struct{ solidH, endH, want float64 }{{100, 1000, 105}, {100, 102, 102}, {math.NaN(), 1000, 1000}, {0, 70, 70}} {
		if got := scale.SoonAfter(c.solidH, c.endH); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("solid after %v h of %v: the plot ends at %v h, wanted %v", c.solidH, c.endH, got, c.want)
		}
	}
	g := &Programme{TimeH: []float64{0, 1000}, UndercoolingK: []float64{10, 10}}
	full := puck(1, 0)
	_, last, _ := span(views(full, math.Inf(1)))
	if end := g.shownEnd(full, last); end > 1.1*last || end < last {
		t.Errorf("a time-lapse of a body that is solid after %v h ends at %v h", last, end)
	}
	if end := g.shownEnd(full, last/2); end != 1000 {
		t.Errorf("with liquid left it ends at %v h, wanted the end of the programme", end)
	}
}
