package scene

import (
	"image/color"
	"math"
	"strings"
	"testing"

	"onegrain/analysis/chart/tint"
	"onegrain/analysis/trace"
)

// plane is a view from above of a body drawn in letters, first line on top: '.' not of the body,
// '~' liquid, 'A'… the grains (even ones seeded), one cell of 1 mm a letter.
func plane(rows ...string) *view {
	n := [3]int{len([]rune(rows[0])), len(rows), 1}
	c := &Cells{N: n, CellMM: 1, Flat: 2}
	for v := range rows {
		for _, r := range rows[len(rows)-1-v] {
			g := int32(r - 'A')
			switch r {
			case '.':
				g = outside
			case '~':
				g = liquid
			}
			for int(g) >= len(c.Grains) {
				c.Grains = append(c.Grains, Grain{Seeded: len(c.Grains)%2 == 0})
			}
			c.Grain, c.Sector, c.TimeH = append(c.Grain, g), append(c.Sector, 0), append(c.TimeH, 1)
		}
	}
	return planeAt(c, 2, 0, math.Inf(1))
}

// lined are the chained boundaries of one kind.
func lined(p *view, low func(p, q int32) bool, kind lineKind) [][]point {
	return trace.Chains(bare(p, low).linesOf(p)[kind])
}

// bare is a picture without anything.
func bare(p *view, low func(p, q int32) bool) *picture {
	return &picture{cells: p.cells, sheet: Sheet{LowAngle: low}}
}

func TestBoundaryAt45DegreesIsStraight(t *testing.T) {
	p := plane(
		"BBBBB",
		"ABBBB",
		"AABBB",
		"AAABB",
		"AAAAB")
	got := lined(p, nil, highAngle)
	if len(got) != 1 || len(got[0]) < 2 {
		t.Fatalf("boundary is %v, wanted one line", got)
	}
	inner := got[0][1 : len(got[0])-1] // the ends bend to the edge of the body
	for _, pt := range inner {
		if math.Abs(pt[0]+pt[1]-4.5) > 1e-12 {
			t.Errorf("point %v is off the diagonal x + y = 4.5", pt)
		}
	}
	if len(inner) > 2 {
		t.Errorf("the diagonal has %d points, wanted 2 once straightened: %v", len(inner), got[0])
	}
}

func TestDottedGroundIsTheLiquidTint(t *testing.T) {
	if got, want := (sign{ground: liquidGround}).pixel(5, 3), tint.Liquid().Color(); got != want {
		t.Errorf("ground of the liquid is %v, its tint %v", got, want)
	}
}

func TestCornersOfBlocksStaySquare(t *testing.T) {
	p := plane(
		"AAAAA",
		"ABBBA",
		"ABBBA",
		"AAAAA")
	got := lined(p, nil, highAngle)
	if len(got) != 1 || len(got[0]) < 5 || got[0][0] != got[0][len(got[0])-1] {
		t.Fatalf("boundary is %v, wanted one closed line", got)
	}
	corners := map[point]bool{}
	for _, pt := range got[0] {
		corners[pt] = true
	}
	for _, want := range []point{{1, 1}, {4, 1}, {4, 3}, {1, 3}} {
		if !corners[want] {
			t.Errorf("corner %v is missing in %v", want, got[0])
		}
	}
}

func TestLinesTellWhatTheyPart(t *testing.T) {
	p := plane("..~AAB")
	low := func(p, q int32) bool { return p+q == 1 }
	for kind, want := range map[lineKind]int{outline: 0, front: 1, lowAngle: 1, highAngle: 0} {
		got := 0
		for _, line := range lined(p, low, kind) {
			if line[0][0] > 2.5 && line[0][0] < 5.5 && line[0][0] == line[len(line)-1][0] {
				got++ // an upright line inside
			}
		}
		if got != want {
			t.Errorf("%d upright lines of kind %d, wanted %d", got, kind, want)
		}
	}
	if got := lined(p, nil, highAngle); len(got) != 1 {
		t.Errorf("without word of low angles the boundary is %v", got)
	}
	pairs := map[[2]uint8]lineKind{{1, 3}: facetAA, {1, 2}: facetAA, {4, 5}: facetAC, {5, 6}: facetAC, {7, 1}: seedLine,
		{6, 7}: seedLine}
	for pair, want := range pairs {
		if got := bare(p, nil).line(label{0, pair[0]}, label{0, pair[1]}); got != want {
			t.Errorf("sectors %v: line %d, wanted %d", pair, got, want)
		}
	}
}

// The areas agree with the lines: a golden of a small body painted at 4 × 4 pixels a cell. Upper
// case letters are grains, o liquid, dots paper.
func TestAreasAreCutAlongTheirBoundaries(t *testing.T) {
	p := plane(
		".AA~",
		"AABB",
		"ABBB")
	marks := map[color.RGBA]rune{{255, 255, 255, 255}: '.', {1, 0, 0, 255}: 'A', {2, 0, 0, 255}: 'B'}
	k := bare(p, nil)
	k.plain, k.shade = true, func(i int) shade { return shade{fill: color.RGBA{uint8(p.cells.Grain[i] + 1), 0, 0, 255}} }
	img := k.areas(p, 16, 12)
	var got strings.Builder
	for y := range 12 {
		for x := range 16 {
			mark, known := marks[img.RGBAAt(x, y)]
			if !known {
				mark = 'o'
			}
			got.WriteRune(mark)
		}
		got.WriteByte('\n')
	}
	want := `.....AAAAAAAoooo
....AAAAAAAAoooo
....AAAAAAAAoooo
...AAAAAAAAAoooo
.AAAAAAAABBBBBBB
AAAAAAAABBBBBBBB
AAAAAAAABBBBBBBB
AAAAAAABBBBBBBBB
AAAAABBBBBBBBBBB
AAAABBBBBBBBBBBB
AAAABBBBBBBBBBBB
AAAABBBBBBBBBBBB
`
	if got.String() != want {
		t.Errorf("painted\n%swanted\n%s", got.String(), want)
	}
}
