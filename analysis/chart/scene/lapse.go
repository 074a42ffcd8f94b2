package scene

import (
	"fmt"
	"maps"
	"math"

	"onegrain/analysis/chart/scale"
)

// Lapse is how the grains came about: pictures of them at even steps from the first capture to the
// last, all in the planes, the layout and the legend of the last one.
type Lapse struct {
	Hours []float64 // of the pictures
	EndH  float64   // where an axis of time ends, soon after the body is solid; 0 without a programme
	Alt   string    // what is seen, in words
	sheet Sheet
	last  *picture
}

// NewLapse takes the steps, 2 to 200, up to AtH of the sheet where that is given. A body in which
// nothing is solid by then has no history and is an error, as a faulty array or value is.
func NewLapse(c *Cells, s Sheet, frames int, measure Measure) (*Lapse, error) {
	if frames < 2 || frames > 200 {
		return nil, fmt.Errorf("chart: frames = %d: wanted 2 to 200", frames)
	}
	if err := s.check(c); err != nil {
		return nil, err
	}
	n := counted(c, s.untilH())
	first, last := n.firstH, n.lastH
	if first > last {
		return nil, fmt.Errorf("chart: no cell is solid by %v h: there is no history to show; "+
			"give a later AtH or a longer programme", s.untilH())
	}
	l := &Lapse{sheet: s}
	for i := range frames {
		share := float64(i) / float64(frames-1)
		l.Hours = append(l.Hours, math.Max(first+share*(last-first), math.SmallestNonzeroFloat64)) // 0 is the end
	}
	l.Hours[frames-1] = math.Max(last, math.SmallestNonzeroFloat64)
	l.sheet.AtH = l.Hours[frames-1]
	l.last = newPicture(c, l.sheet, measure)
	l.last = l.picture(frames - 1)
	maps.Copy(l.last.seen, l.picture(0).seen) // what was captured stays, and what is liquid in between was so at first
	l.last.explain()
	l.last.plan = l.last.planned()
	l.Alt = s.titled(fmt.Sprintf("Time-lapse of the growing grains from %s h to %s h in %d frames. At its end: %s",
		scale.Number(l.Hours[0], 1), scale.Number(l.sheet.AtH, 1), frames, l.last.text)) + l.last.clearText()
	if g := s.Programme; g != nil {
		solidH := math.NaN()
		if n.solid() == n.cells {
			solidH = l.sheet.AtH
		}
		l.EndH = g.ShownEndH(solidH)
	}
	return l, nil
}

// picture is looked at, in the planes of the last one.
func (l *Lapse) picture(i int) *picture {
	s := l.sheet
	s.AtH = l.Hours[i]
	k := newPicture(l.last.cells, s, l.last.measure)
	for n, p := range l.last.views {
		then := *p
		then.untilH = s.AtH
		k.views[n] = &then
	}
	k.grains()
	k.look()
	return k
}

// Frame is one of the pictures; solid is the share of the body that is solid by then, in words.
func (l *Lapse) Frame(i int) (s *Scene, solid string) {
	k := l.picture(i)
	k.seen, k.plan = l.last.seen, l.last.plan
	k.explain()
	return k.scene(), k.count.share(k.count.solid())
}
