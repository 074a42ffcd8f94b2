package scene

import (
	"math"
	"strings"
	"testing"

	"onegrain/analysis/chart/tint"
)

func TestFramesRunFromFirstToLastCapture(t *testing.T) {
	c := grownField([3]int{24, 24, 1}, 1, 2, everywhere, []nucleus{{at: [3]float64{0, 0, 0.5}, halfMM: 1, bornH: 3}})
	l, err := NewLapse(c, Sheet{}, 3, measure)
	if err != nil {
		t.Fatal(err)
	}
	last := float64(3 + float32(10.5/rateA))
	if h := l.Hours; h[0] != 3 || math.Abs(h[2]-last) > 1e-5 || math.Abs(h[1]-(3+h[2])/2) > 1e-12 {
		t.Errorf("hours %v; wanted 3 to %v", h, last)
	}
	failing := func(c *Cells, s Sheet, frames int) error {
		_, err := NewLapse(c, s, frames, measure)
		return err
	}
	for want, err := range map[string]error{
		"frames = 1":   failing(c, Sheet{}, 1),
		"frames = 201": failing(c, Sheet{}, 201),
		"by 2 h":       failing(c, Sheet{AtH: 2}, 5),
		"AtH = -1":     failing(c, Sheet{AtH: -1}, 5),
		"no cells":     failing(nil, Sheet{}, 5),
	} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, wanted one with %q", err, want)
		}
	}
}

// TestFramesKeepLayoutAndLegend: what moves is the body alone; the area of the grain grows, and the
// legend has what the first and the last frame need.
func TestFramesKeepLayoutAndLegend(t *testing.T) {
	from := []nucleus{{at: [3]float64{0, 0, 0.5}, halfMM: 1}, {at: [3]float64{9, 0, 0.5}, bornH: 12}}
	c := grownField([3]int{24, 24, 1}, 1, 2, everywhere, from)
	l, err := NewLapse(c, Sheet{Title: "growing", Clear: Disc{DiameterMM: 8}}, 4, measure)
	if err != nil {
		t.Fatal(err)
	}
	before, first := -1, []string(nil)
	for i := range l.Hours {
		s, solid := l.Frame(i)
		area := pixels(s, tint.Seeded()[0].Color())
		if area <= before {
			t.Errorf("frame %d shows %d pixels of seeded grain, the one before %d", i, area, before)
		}
		if before = area; i == 0 {
			first = s.texts()
		}
		if n := len(s.texts()); n != len(first) || !strings.Contains(strings.Join(s.texts(), "\n"),
			"liquid\ngrain boundary\ngrowth front") {
			t.Errorf("frame %d has %q, the first one %q", i, s.texts(), first)
		}
		if full := solid == "100 %"; full != (i == 3) {
			t.Errorf("after %v h the body is %s solid", l.Hours[i], solid)
		}
	}
	if !strings.HasPrefix(l.Alt, "growing: Time-lapse of the growing grains from 0.0 h to ") || !strings.Contains(l.Alt,
		" in 4 frames. At its end: 1 seeded grain and 1 stray: ") ||
		!strings.HasSuffix(l.Alt, " The clear piece is 8.0 mm across, about x = 0.0 mm, y = 0.0 mm.") {
		t.Errorf("text alternative %q", l.Alt)
	}
}

func TestTheAxisOfTimeEndsSoonAfterTheBodyIsSolid(t *testing.T) {
	g := &Programme{TimeH: []float64{0, 1000}, UndercoolingK: []float64{10, 10}}
	full := puck(1, 0)
	_, last := span(usual(full, 0))
	for atH, want := range map[float64]float64{0: 1.05 * last, last / 2: 1000} { // liquid left: the whole programme
		l, err := NewLapse(full, Sheet{Programme: g, AtH: atH}, 2, measure)
		if err != nil || math.Abs(l.EndH-want) > 0.05*last {
			t.Errorf("until %v h the axis ends at %v h, wanted %v; error %v", atH, l.EndH, want, err)
		}
	}
}
