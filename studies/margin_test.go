package studies

import (
	"bytes"
	"fmt"
	"image/png"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// tilted is a puck with one seed under a gradient: melted at 1160 °C, 150 K above its peritectic
// temperature, then cooled far below.
const tilted = `title = "tilted"
[material]
base = "Y123, air"
peritectic_C = 1010
[body]
shape = "disc"
diameter_mm = 48
height_mm = %g
cell_mm = 0.5
[[seed]]
at_mm = [%g, %g]
size_mm = [%g, %g]
turn_deg = %g
peritectic_C = %.9g
[schedule]
[[schedule.stage]]
to_C = 1160
rate_K_per_h = 100
[[schedule.stage]]
to_undercooling_K = 200
rate_K_per_h = 60
[gradient]
vertical_K_per_mm = %g
radial_K_per_mm = %g
[nucleation.melt]
law = "none"
`

// TestMarginIsThatOfTheSeedsPlace: what `check` tells and Load refuses, against the offset g_z·(z −
// z_top) + g_r·r by hand at points laid densely over the seed's contact patch, where z = z_top.
// Points 1/200 of 3 mm apart miss the hottest by up to 0.015·√2 mm · 2 K/mm = 0.042 K. Canaries:
// the radial gradient 10 % wrong, and the hottest place of the body instead of the seed's.
func TestMarginIsThatOfTheSeedsPlace(t *testing.T) {
	const tolerance = 0.05
	random := rand.New(rand.NewPCG(11, 4))
	steeper, hottest := 0, 0
	for range 40 {
		r, azimuth, turn := 4+16*random.Float64(), 2*math.Pi*random.Float64(), 90*random.Float64()
		x, y, a, b := r*math.Cos(azimuth), r*math.Sin(azimuth), 1+2*random.Float64(), 1+2*random.Float64()
		height, gz, gr := 5+55*random.Float64(), random.Float64()-0.5, (0.5+1.5*random.Float64())*float64(1-2*random.IntN(2))
		by := func(gr float64) float64 {
			offset := math.Inf(-1)
			sin, cos := math.Sincos(turn * math.Pi / 180)
			for i := range 201 {
				for j := range 201 {
					u, v := a*(float64(i)/200-0.5), b*(float64(j)/200-0.5)
					offset = math.Max(offset, gr*math.Hypot(x+u*cos-v*sin, y+u*sin+v*cos))
				}
			}
			return 1160 + offset
		}
		study := func(own float64) string { return fmt.Sprintf(tilted, height, x, y, a, b, turn, own, gz, gr) }
		e, err := load(t, study(1400)).Explain(0)
		if err != nil {
			t.Fatal(err)
		}
		close := func(hottestC float64) bool { return math.Abs(*e.Seeds[0].MarginK-(1400-hottestC)) <= tolerance }
		if !close(by(gr)) {
			t.Errorf("r = %.1f mm, %.2f K/mm up, %.2f out: %g K to spare, wanted %g", r, gz, gr, *e.Seeds[0].MarginK,
				1400-by(gr))
		}
		if close(by(1.1 * gr)) {
			steeper++
		}
		if close(1160 + math.Max(0, 24*gr) + math.Max(0, -gz*height)) {
			hottest++
		}
		for _, side := range []float64{-2 * tolerance, 2 * tolerance} {
			_, err := Load("tilted.toml", []byte(study(by(gr)+side)), nil, 0)
			if refused := err != nil && strings.Contains(err.Error(), "dissolves seed.1"); refused != (side < 0) {
				t.Errorf("a seed that withstands %+.1f K more than its place gets: %v", side, err)
			}
		}
	}
	if steeper+hottest > 0 {
		t.Errorf("canary: a gradient 10 %% steeper passes %d times, the hottest place of the body %d times", steeper, hottest)
	}
}

// The places of a mask are its pixels, not the corners of its box: here each cell is one pixel, and
// the picture is read by the test itself.
func TestOffsetsOfAMask(t *testing.T) {
	data, err := openBeside("cross.png")
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	far, b := 0.0, img.Bounds()
	for i := range b.Dx() {
		for j := range b.Dy() {
			if red, _, _, alpha := img.At(b.Min.X+i, b.Min.Y+j).RGBA(); red < 0x8000 && alpha > 0 {
				far = math.Max(far, 0.5*math.Hypot(float64(i)+0.5-float64(b.Dx())/2, float64(j)+0.5-float64(b.Dy())/2))
			}
		}
	}
	text := read(t, invalid+"/base/mask.toml") + "[gradient]\nradial_K_per_mm = 0.5\n"
	s, err := Load("mask.toml", []byte(text), openBeside, 0)
	if err != nil {
		t.Fatal(err)
	}
	e, err := s.Explain(0)
	if err != nil {
		t.Fatal(err)
	}
	if corner := 0.25 * math.Hypot(float64(b.Dx()), float64(b.Dy())) / 2; math.Abs(e.HighestK-0.5*far) > 1e-9 ||
		math.Abs(e.HighestK-corner) < 1e-9 {
		t.Errorf("hottest place %g K, wanted %g; the corner of the box has %g", e.HighestK, 0.5*far, corner)
	}
}
