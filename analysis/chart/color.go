package chart

import (
	"image/color"
	"math"
)

// oklch is a colour by lightness (0 black to 1 white), chroma and hue (degrees) in the OKLab space, in which equal steps
// look about equal (B. Ottosson, "A perceptual color space for image processing", 2020; matrices from that page).
type oklch struct{ lightness, chroma, hueDeg float64 }

// linear is the colour in linear-light sRGB, 0 to 1 where a screen can show it.
func (o oklch) linear() [3]float64 {
	sin, cos := math.Sincos(o.hueDeg * math.Pi / 180)
	a, b := o.chroma*cos, o.chroma*sin
	l := cube(o.lightness + 0.3963377774*a + 0.2158037573*b)
	m := cube(o.lightness - 0.1055613458*a - 0.0638541728*b)
	s := cube(o.lightness - 0.0894841775*a - 1.2914855480*b)
	return [3]float64{
		4.0767416621*l - 3.3077115913*m + 0.2309699292*s,
		-1.2684380046*l + 2.6097574011*m - 0.3413193965*s,
		-0.0041960863*l - 0.7034186147*m + 1.7076147010*s,
	}
}

func (o oklch) rgba() color.RGBA {
	c := o.linear()
	return color.RGBA{encoded(c[0]), encoded(c[1]), encoded(c[2]), 255}
}

func cube(x float64) float64 { return x * x * x }

// encoded is a linear-light value as sRGB stores it (IEC 61966-2-1).
func encoded(x float64) uint8 {
	x = math.Max(0, math.Min(1, x))
	if x <= 0.0031308 {
		return uint8(math.Round(255 * 12.92 * x))
	}
	return uint8(math.Round(255 * (1.055*math.Pow(x, 1/2.4) - 0.055)))
}

// The palettes are functions, not variables: nobody can change them. The numbers were found by a search that keeps the
// hue families (cool = seeded, warm = stray; one family for each axis of the crystal) and makes the smallest difference
// between any two areas as large as it gets, for normal sight and the three kinds of colour blindness; the test of this
// file holds that difference.

// seededTints are the colours of seeded grains, used in turn.
func seededTints() []oklch {
	return []oklch{{0.585, 0.144, 260}, {0.864, 0.074, 238}, {0.700, 0.125, 169}, {0.420, 0.100, 280}}
}

// strayTints are the colours of strays, used in turn.
func strayTints() []oklch {
	return []oklch{{0.735, 0.151, 66}, {0.570, 0.150, 38}, {0.860, 0.111, 90}}
}

// sectorTints are the colours of the faces +a, −a, +b, −b, +c, −c, and of the seed itself.
func sectorTints() []oklch {
	return []oklch{{0.481, 0.094, 245}, {0.743, 0.089, 237}, {0.628, 0.077, 74}, {0.859, 0.092, 74},
		{0.443, 0.124, 4}, {0.666, 0.128, 2}, {0.990, 0.004, 90}}
}

func liquidTint() oklch { return oklch{0.905, 0.006, 90} }
func paperTint() oklch  { return oklch{1, 0, 0} }
func inkTint() oklch    { return oklch{0.24, 0.012, 270} }
func greyTint() oklch   { return oklch{0.50, 0.010, 270} }

// ramp is the colour of arrival, share 0 (first) to 1 (last): pale green through blue to dark plum, falling evenly in
// lightness so that it reads the same in grey and to the colour-blind.
func ramp(share float64) oklch {
	t := math.Max(0, math.Min(1, share))
	return oklch{0.93 - 0.63*t, 0.045 + 0.03*t + 0.05*math.Sin(math.Pi*t), 150 + 170*t}
}

// shaded is the tint made darker (by < 0) or lighter, for hatching.
func (o oklch) shaded(by float64) oklch {
	return oklch{math.Max(0, math.Min(1, o.lightness+by)), o.chroma, o.hueDeg}
}
