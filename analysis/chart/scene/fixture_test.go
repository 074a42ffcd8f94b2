package scene

import (
	"image"
	"image/color"
	"math"
	"sync"
	"testing"

	"codeberg.org/go-fonts/dejavu/dejavusans"
	"golang.org/x/image/font/opentype"
)

// The fields of these tests are made by hand: every grain is a free box with constant rates, and a
// cell belongs to the grain that reaches it first. They check the drawing, not the physics.

// nucleus is a grain of a hand-made field: where and when it began, how it is turned about the
// vertical, and the half width of its seed (0 for a stray).
type nucleus struct {
	at      [3]float64
	bornH   float64
	turnDeg float64
	halfMM  float64
}

const (
	rateA, rateC = 0.4, 0.3 // mm/h
)

// reach is when the box of n arrives at a point, and by which face.
func (n nucleus) reach(x, y, z float64) (timeH float64, sector uint8) {
	sin, cos := math.Sincos(n.turnDeg * math.Pi / 180)
	dx, dy, dz := x-n.at[0], y-n.at[1], z-n.at[2]
	a, b := dx*cos+dy*sin, dy*cos-dx*sin
	need := [3]float64{(math.Abs(a) - n.halfMM) / rateA, (math.Abs(b) - n.halfMM) / rateA, math.Abs(dz) / rateC}
	best := 0
	for i, t := range need {
		if t > need[best] {
			best = i
		}
	}
	if need[best] <= 1e-9 {
		return n.bornH, seedSector
	}
	sector = uint8(2 * best)
	if [3]float64{a, b, dz}[best] < 0 {
		sector++
	}
	return n.bornH + need[best], sector
}

// grown is a field of n cells in which inside says where the body is.
func grownField(n [3]int, cellMM float64, flat int, inside func(x, y, z float64) bool, from []nucleus) *Cells {
	c := &Cells{N: n, CellMM: cellMM, Flat: flat, Origin: [3]float64{-cellMM * float64(n[0]-1) / 2,
		-cellMM * float64(n[1]-1) / 2, cellMM / 2}}
	for _, s := range from {
		sin, cos := math.Sincos(s.turnDeg * math.Pi / 180)
		g := Grain{Seeded: s.halfMM > 0, Origin: "melt", AtMM: s.at, Axes: [9]float64{cos, sin, 0, -sin, cos, 0, 0, 0, 1}}
		if g.Seeded {
			g.Origin, g.SizeMM = "seed", [2]float64{2 * s.halfMM, 2 * s.halfMM}
		}
		c.Grains = append(c.Grains, g)
	}
	for k := range n[2] {
		for j := range n[1] {
			for i := range n[0] {
				c.appendCell(inside, from, i, j, k)
			}
		}
	}
	return c
}

func (c *Cells) appendCell(inside func(x, y, z float64) bool, from []nucleus, i, j, k int) {
	x, y, z := c.Origin[0]+float64(i)*c.CellMM, c.Origin[1]+float64(j)*c.CellMM, c.Origin[2]+float64(k)*c.CellMM
	grain, sector, time := liquid, uint8(0), math.Inf(1)
	if !inside(x, y, z) {
		grain = outside
	} else {
		for g, s := range from {
			if t, face := s.reach(x, y, z); t < time {
				grain, sector, time = int32(g), face, t
			}
		}
	}
	if grain < 0 {
		time = math.NaN()
	}
	c.Grain, c.Sector, c.TimeH = append(c.Grain, grain), append(c.Sector, sector), append(c.TimeH, float32(time))
}

// puck is a disc of 24 × 8 mm with one seed on top, in cells of cellMM, and strays along a ray.
func puck(cellMM float64, strays int) *Cells {
	n := int(math.Round(24 / cellMM))
	top := 8 - cellMM/2
	from := []nucleus{{at: [3]float64{0, 0, top}, halfMM: 1}}
	for i := range strays {
		r, angle := 11.5-0.35*float64(i), 0.5+2.4*float64(i)
		from = append(from, nucleus{at: [3]float64{r * math.Cos(angle), r * math.Sin(angle), top - 0.9*float64(i%4)},
			bornH: 16 + 0.8*float64(i), turnDeg: 31 * float64(i)})
	}
	return grownField([3]int{n, n, int(math.Round(8 / cellMM))}, cellMM, -1, disc(12), from)
}

func disc(radius float64) func(x, y, z float64) bool {
	return func(x, y, z float64) bool { return x*x+y*y <= radius*radius }
}

func everywhere(x, y, z float64) bool { return true }

// typeface is that of the pictures.
var typeface = sync.OnceValue(func() *opentype.Font {
	f, err := opentype.Parse(dejavusans.TTF)
	if err != nil {
		panic(err)
	}
	return f
})

// widths are those of letters of one point.
var widths = sync.OnceValue(func() []float64 {
	face, err := opentype.NewFace(typeface(), &opentype.FaceOptions{Size: 100, DPI: 72})
	if err != nil {
		panic(err)
	}
	of := make([]float64, 0x3000)
	for r := range of {
		wide, _ := face.GlyphAdvance(rune(r))
		of[r] = float64(wide) / 6400
	}
	return of
})

// measure is how wide a line is in the typeface of the pictures.
func measure(size float64, text string) (width float64) {
	for _, r := range text {
		width += size * widths()[r]
	}
	return width
}

// kinds are all kinds of pictures of planes.
func kinds() []string { return []string{"grains", "sectors", "arrival", "boundaries"} }

// angled98 is a sheet that tells angles between grains.
func withAngles(s Sheet) Sheet {
	s.JoinDeg, s.AngleDeg = 5, func(p, q int32) float64 { return float64((7*p + 11*q) % 98) }
	return s
}

// composed is a picture, and the scene it makes.
func composed(t *testing.T, kind string, c *Cells, s Sheet) (*picture, *Scene) {
	t.Helper()
	k, err := compose(kind, c, s, measure)
	if err != nil {
		t.Fatal(err)
	}
	if kind == "corner" || kind == "corner-sectors" {
		return k, k.corner()
	}
	return k, k.scene()
}

// texts are those of a scene in the order of drawing.
func (s *Scene) texts() (list []string) {
	for _, i := range s.Items {
		if i.Pixels == nil && i.Lines == nil && i.Shape == nil {
			list = append(list, i.Text)
		}
	}
	return list
}

// raster draws the areas and lines of a scene, lines with full pixels.
func raster(s *Scene) *image.RGBA {
	w, h := int(s.Width*DotsPerPoint), int(s.Height*DotsPerPoint)
	img := Painted(w, h, func(_, _ int) color.RGBA { return color.RGBA{255, 255, 255, 255} })
	pen := &camera{img: img}
	for _, item := range s.Items {
		for y := 0; item.Pixels != nil && y < item.Pixels.Rect.Dy(); y++ {
			for x := range item.Pixels.Rect.Dx() {
				img.SetRGBA(int(2*item.At[0])+x, int(2*item.At[1])+y, item.Pixels.RGBAAt(x, y))
			}
		}
		for _, line := range item.Lines {
			for n := range len(line) - 1 {
				a, b := line[n], line[n+1]
				steps := 1 + int(4*math.Hypot(b[0]-a[0], b[1]-a[1]))
				for i := range steps + 1 {
					t := float64(i) / float64(steps)
					x, y := a[0]+t*(b[0]-a[0]), a[1]+t*(b[1]-a[1])
					pen.dot(image.Pt(int(2*x), int(2*y)), item.Size*0.9, item.Ink)
				}
			}
		}
	}
	return img
}
