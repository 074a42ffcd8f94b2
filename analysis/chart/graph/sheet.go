package graph

import (
	"io"
	"math"
	"reflect"
	"slices"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/scale"
	"onegrain/analysis/chart/scene"
	"onegrain/analysis/chart/tint"
)

// Measures of a sheet, in points. It is shown at this size on a desktop and at about two thirds of
// it on a phone.
const (
	sheetWidth = 560.0
	margin     = 14.0
	inner      = sheetWidth - 2*margin
	dataWidth  = sheetWidth - 90 // of the data of a single plot
	paneGap    = 18.0
	titleSize  = 12.5
	noteSize   = 9.5
	textSize   = 9.0
	lineHigh   = 13.5 // from one line of the legend to the next
)

// form is what each kind of chart has behind its Draw.
type form interface {
	head() (title, note string)
	compose(s *sheet) // sets panes, legend, remarks and what is seen
}

// sheet is a chart before it is set on a page.
type sheet struct {
	letters     paper.Letters
	title, note string
	panes       []*pane
	columns     int // panes side by side
	bar         *scene.Bar
	legend      []entry
	parts       []string // what is seen of each of several parts
	remarks     []string
	seen        string                // what is seen, or why there is nothing to see
	high        float64               // of what is set so far, points
	scene.Scene                       // texts and frames
	late        []func(p *paper.Page) // what is drawn with gonum/plot
}

// pane is one plot of a sheet.
type pane struct {
	title string
	plot  *plot.Plot
	high  float64    // with axes, points
	top   float64    // free room above the plot, for the numbers of marks
	data  [2]float64 // exact width and height of the data, for maps; 0: as large as there is room
}

// entry is one line of the legend.
type entry struct {
	text   string
	sample func(c draw.Canvas) // fills a field of 26 × 10 points; nil for none
}

// write checks a chart, sets it and encodes it, as PNG or SVG. The text alternative is its title,
// what is seen, and the remarks. The error names a faulty value, or is that of w.
func write(f form, w io.Writer, format paper.Format) (alt string, err error) {
	k := &checks{}
	k.walk(kind(f), reflect.ValueOf(f), false)
	if k.that(format <= paper.SVG, kind(f), ".Draw: format = %d: wanted PNG or SVG", format); k.err != nil {
		return "", k.err
	}
	letters, err := paper.NewLetters()
	if err != nil {
		return "", err
	}
	s := &sheet{letters: letters, columns: 1, seen: nothing(f)}
	s.title, s.note = f.head()
	if s.seen == "" {
		f.compose(s)
	}
	s.layOut()
	p := paper.New(format, sheetWidth, math.Ceil(s.high), letters)
	p.Draw(s.Items)
	for _, draw := range s.late {
		draw(p)
	}
	alt = strings.Join(append([]string{s.seen}, s.remarks...), " ")
	if s.title != "" {
		alt = strings.TrimRight(s.title, ".") + ": " + alt
	}
	return alt, p.Encode(w)
}

// layOut sets the pieces of the sheet from top to bottom.
func (s *sheet) layOut() {
	s.high = margin
	s.lines(s.title, titleSize, tint.Ink())
	s.lines(s.note, noteSize, tint.Grey())
	s.high += 4
	if len(s.panes) == 0 {
		s.framed()
		s.high += margin
		return
	}
	for row := range slices.Chunk(s.panes, s.columns) {
		s.row(row)
	}
	s.high += 6
	if s.bar != nil {
		s.bar.Draw(&s.Scene, s.letters.Width, margin+6, s.high, 300)
		s.high += 42
	}
	if len(s.legend) > 0 {
		s.entries()
	}
	for _, r := range s.remarks {
		s.lines(r, textSize, tint.Grey())
	}
	s.high += margin - 4
}

// lines are a text across the sheet.
func (s *sheet) lines(text string, size float64, ink tint.Tint) {
	base := math.Round(size * 1.1)
	for _, line := range s.letters.Wrapped(size, inner, text) {
		s.Text(margin, s.high+base, size, 0, ink, line)
		s.high += base + 3
	}
}

// framed says in a frame why there is nothing to show.
func (s *sheet) framed() {
	const edge = 16.0
	text := s.letters.Wrapped(11, inner-2*edge, s.seen)
	high := float64(len(text))*16 + 2*edge
	frame := scale.Frame(margin, s.high, inner, high)
	s.Shape(tint.Tint{Lightness: 0.965, Chroma: 0.004, HueDeg: 90}, frame[:4]...)
	s.Stroke(tint.Grey(), 0.6, frame)
	for i, line := range text {
		s.Text(margin+edge, s.high+edge+11+16*float64(i), 11, 0, tint.Ink(), line)
	}
	s.high += high
}

// row sets panes side by side; their data begin and end at the same distance from the edge of each,
// so that rows line up.
func (s *sheet) row(panes []*pane) {
	each := (inner - float64(s.columns-1)*paneGap) / float64(s.columns)
	tops, high := make([]float64, len(panes)), 0.0
	for i, q := range panes {
		if tops[i] = q.top; q.title != "" {
			tops[i] += 18
		}
		high = math.Max(high, tops[i]+q.high)
	}
	for i, q := range panes {
		x, y := margin+float64(i)*(each+paneGap), s.high
		if q.title != "" {
			s.Text(x+6, y+11, 10, 0, tint.Ink(), s.shortened(10, each-6, q.title))
		}
		s.late = append(s.late, func(p *paper.Page) { q.draw(p.Part(x, y+tops[i], each, q.high), s) })
	}
	s.high += high + 8
}

// draw sets the plot into its part of the page.
func (q *pane) draw(c draw.Canvas, s *sheet) {
	data := q.plot.DataCanvas(c)
	if q.data[0] == 0 {
		left, right := s.sides()
		q.plot.Draw(draw.Crop(c, left-(data.Min.X-c.Min.X), -(right - (c.Max.X - data.Max.X)), 0, 0))
		return
	}
	for range 4 { // the margins depend a little on the size
		c.Max.X += vg.Points(q.data[0]) - (data.Max.X - data.Min.X)
		c.Min.Y -= vg.Points(q.data[1]) - (data.Max.Y - data.Min.Y)
		data = q.plot.DataCanvas(c)
	}
	q.plot.Draw(c)
}

// sides are the widest margins that the axes of any pane need, left and right.
func (s *sheet) sides() (left, right vg.Length) {
	c := draw.Canvas{Rectangle: vg.Rectangle{Max: vg.Point{X: 400, Y: 400}}}
	for _, q := range s.panes {
		data := q.plot.DataCanvas(c)
		left, right = max(left, data.Min.X), max(right, 400-data.Max.X)
	}
	return left, right
}

// shortened cuts a line that is wider than its place.
func (s *sheet) shortened(size, width float64, text string) string {
	r := []rune(s.letters.Known(text))
	if s.letters.Width(size, string(r)) <= width {
		return string(r)
	}
	for len(r) > 1 && s.letters.Width(size, string(r)+"…") > width {
		r = r[:len(r)-1]
	}
	return string(r) + "…"
}

// entries set the legend in as many columns as have room, each as wide as its longest line.
func (s *sheet) entries() {
	const sample = 34.0
	n := len(s.legend)
	var rows int
	var widths []float64
	for columns, all := min(n, 5), math.Inf(1); columns > 0 && all-14 > inner; columns-- {
		rows, widths, all = (n+columns-1)/columns, make([]float64, columns), 6
		for i, e := range s.legend {
			wide := s.letters.Width(textSize, s.letters.Known(e.text))
			widths[i/rows] = math.Max(widths[i/rows], sample+wide+14)
		}
		for _, w := range widths {
			all += w
		}
	}
	x := margin + 6
	for i, e := range s.legend {
		if i > 0 && i%rows == 0 {
			x += widths[i/rows-1]
		}
		line, left := s.high+float64(i%rows)*lineHigh, x
		if e.sample != nil {
			s.late = append(s.late, func(p *paper.Page) { e.sample(p.Part(left, line, 26, 10)) })
		}
		text := s.shortened(textSize, sheetWidth-margin-x-sample, e.text)
		s.Text(x+sample, line+8.5, textSize, 0, tint.Ink(), text)
	}
	s.high += float64(rows)*lineHigh + 6
}
