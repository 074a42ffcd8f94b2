package scene

import (
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"onegrain/analysis/chart/tint"
)

// sighted is what a legend must tell, found in the arrays of the body and not in the picture: the
// cells of the planes shown, and the pairs of neighbours in them.
func sighted(c *Cells, s Sheet, kind string, planes []Cut) map[string]bool {
	said := map[string]bool{}
	names := []string{"+a sector", "−a sector", "+b sector", "−b sector", "+c sector", "−c sector",
		"seed or start of a stray"}
	label := map[string][2]string{"grains": {"seeded grains", "stray grains"}, "boundaries": {"seeded grain",
		"stray grain"}, "sectors": {"", "hatched: stray grain"}}[kind]
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
			if at[p.Axis] != c.layerAt(p.Axis, p.AtMM) || grain(i) == -2 {
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
	case p != q && kind == "boundaries" && s.AngleDeg(min(p, q), max(p, q)) <= s.JoinDeg:
		return "at most 5°: joined"
	case p != q && kind == "boundaries":
		return "disorientation above 5° (degrees)"
	case p != q && s.LowAngle(p, q):
		return "low-angle boundary"
	case p != q:
		return "grain boundary"
	case (c.Sector[i] == 6) != (c.Sector[j] == 6) && kind != "sectors" && !c.Grains[p].Seeded:
		return "outline of a stray's start"
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
	vocabulary := []string{"seeded grain", "stray grain", "hatched: stray grain", "liquid", "growth front",
		"grain boundary", "low-angle boundary", "outline of a stray's start",
		"facet line a/a", "boundary a/c", "+a sector", "−a sector", "+b sector", "−b sector", "+c sector", "−c sector",
		"seed or start of a stray", "at most 5°: joined",
		"disorientation above 5° (degrees)", "seed", "clear piece"}
	fields := odd()
	fields["puck with strays"], fields["puck"] = puck(0.5, 4), puck(0.5, 0)
	for _, name := range slices.Sorted(maps.Keys(fields)) {
		c := fields[name]
		for _, kind := range kinds() {
			for _, atH := range []float64{0, 9} {
				s := Sheet{AtH: atH, LowAngle: func(p, q int32) bool { return (p+q)%3 == 0 }, Clear: Disc{[2]float64{0.3, 0.2},
					1.5}}
				s.JoinDeg, s.AngleDeg = 5, func(p, q int32) float64 { return float64((7*p + 11*q) % 98) }
				var planes []Cut
				k, made := composed(t, kind, c, s)
				for _, p := range k.views {
					planes = append(planes, Cut{p.along, p.atMM()})
				}
				want := sighted(c, s, kind, planes)
				if len(c.Grains) > 0 && slices.ContainsFunc(c.Grains, func(g Grain) bool { return g.Seeded }) {
					want["seed"] = true
				}
				if !slices.ContainsFunc(c.TimeH, func(h float32) bool { return atH > 0 && float64(h) > atH }) {
					want["clear piece"] = true
				}
				got := map[string]bool{}
				for _, line := range made.texts() {
					text, _, _ := strings.Cut(line, " (")
					if text, _, _ = strings.Cut(text, ", "); strings.HasPrefix(line, "disorientation") {
						text = line
					}
					if slices.Contains(vocabulary, strings.TrimSuffix(text, "s")) || slices.Contains(vocabulary, text) {
						got[text] = true
					}
				}
				if !maps.Equal(got, want) {
					t.Errorf("%s, %s at %v h: the legend has %v, the cells call for %v", name, kind, atH,
						slices.Sorted(maps.Keys(got)), slices.Sorted(maps.Keys(want)))
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
	ink := tint.Ink().Color()
	for _, kind := range []string{"grains", "boundaries"} {
		k, made := composed(t, kind, c, withAngles(s))
		_, before := composed(t, kind, c, withAngles(Sheet{Clear: s.Clear, AtH: 20}))
		img, early := raster(made), raster(before)
		for n := range 24 { // the middles of the dashes
			sin, cos := math.Sincos((float64(3*n) + 1) * 2 * math.Pi / rimSteps)
			x, y := spot(k, 0, 0.5+7*cos, -1+7*sin)
			if !near(img, x, y, ink) {
				t.Errorf("%s: no rim of the clear piece at %d", kind, n)
			}
			if x, y = spot(k, 0, 0.5+7.7*cos, -1+7.7*sin); near(img, x, y, ink) {
				t.Errorf("%s, canary: a rim also a tenth further out at %d", kind, n)
			}
		}
		chord := math.Sqrt(7*7 - 1.25*1.25) // the section stands at y = 0.25
		x, y := spot(k, 1, 0.5+chord, 0.05)
		if !near(img, x, y-1, ink) {
			t.Errorf("%s: no clear piece in the section", kind)
		}
		for _, at := range [][2]float64{{1, 0.5}, {-1, 0.5}, {0.5, 1}, {0.5, -1}} {
			if x, y = spot(k, 0, at[0], at[1]); !near(img, x, y, tint.Paper().Color()) {
				t.Errorf("%s: no outline of the seed at %v", kind, at)
			}
		}
		if x, y = spot(k, 0, 0.5, 6); kind == "grains" && (!near(img, x, y, ink) || near(early, x, y, ink)) {
			t.Errorf("the clear piece is seen at the end: %v, and while it grows: %v", near(img, x, y, ink), near(early, x, y,
				ink))
		}
	}
	_, plain := composed(t, "corner", c, Sheet{})
	_, marked := composed(t, "corner", c, s)
	dark := pixels(marked, ink) - pixels(plain, ink)
	if dark < 300 || !strings.Contains(marked.Alt, "The clear piece is 14.0 mm across, about x = 0.5 mm, y = −1.0 mm.") {
		t.Errorf("from a corner: %q, %d pixels of the rim", marked.Alt, dark)
	}
}

// TestCornerLegend: of one grain the rays see three or ten things, and of a body without one only
// liquid.
func TestCornerLegend(t *testing.T) {
	grain := []string{"seeded grains (1 in the body)", "seed", "clear piece, 9.0 mm"}
	sectors := []string{"+a sector", "−a sector", "+b sector", "−b sector", "−c sector", "seed or start of a stray",
		"facet line a/a", "boundary a/c"}
	liquid := grownField([3]int{20, 20, 5}, 0.5, -1, disc(5), nil)
	for _, c := range []struct {
		kind string
		of   *Cells
		want []string
	}{{"corner", puck(0.5, 0), grain}, {"corner-sectors", puck(0.5, 0), append(sectors, grain[1:]...)},
		{"corner", liquid, []string{"liquid"}}} {
		_, s := composed(t, c.kind, c.of, Sheet{Clear: Disc{DiameterMM: 9 * float64(len(c.of.Grains))}})
		got := s.texts()[1:]
		if n := len(c.want); !slices.Equal(got[len(got)-n:], c.want) || len(got) != n+4 { // and x, y, z with their arrows
			t.Errorf("from a corner the legend is %v, wanted %v", got, c.want)
		}
	}
}

// TestABarMarksWhatIsWanted: the tip of a wedge stands at the value, and there is none without one.
func TestABarMarksWhatIsWanted(t *testing.T) {
	for wanted, tips := range map[float64][]float64{0: nil, 2: {30}, 5: {105}} {
		s := &Scene{}
		b := &Bar{Low: 1, High: 5, Marks: []float64{1, 5}, Ramp: tint.Chance, Wanted: wanted}
		b.Draw(s, measure, 5, 10, 100)
		var got []float64
		for _, i := range s.Items {
			if i.Shape != nil {
				got = append(got, i.Shape[0][0])
			}
		}
		if !slices.Equal(got, tips) {
			t.Errorf("wedges at %v for %v, wanted %v", got, wanted, tips)
		}
		if texts := s.texts(); !slices.Equal(texts, []string{"1", "5"}) {
			t.Errorf("the bar says %q", texts)
		}
	}
}
