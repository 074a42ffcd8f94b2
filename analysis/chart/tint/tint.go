// Package tint holds all colours of the project's pictures: its own, safe for the colour-blind, and
// light enough to print.
//
//  1. A [Tint] is a colour by lightness, chroma and hue in OKLab, where equal steps look about
//     equal.
//  2. Areas: [Seeded] grains are cool (blue, pale blue, green, indigo, used in turn), [Strays] warm
//     (orange, rust, amber; pictures hatch them as well), [Sectors] have one family for each
//     crystal axis: blue for a, sand for b, rose for c, the dark tint for the positive face.
//     [Liquid] is a warm grey, dotted in pictures.
//  3. Ramps fall evenly in lightness, so that they read the same in grey: [Arrival] from pale green
//     through blue to dark plum, [Chance] from pale sand to deep teal, [Strength] of a field from
//     straw through brick to dark wine, [Angle] of a boundary from amber to aubergine. A boundary
//     of [LowAngle] is blue, which stands on no part of that ramp.
//  4. [Lines] of a chart also differ by dash and mark. [Ink], [Grey] and [Paper] are for text and
//     frames.
//  5. The test of the package sees all of them with normal sight and with full protanopia,
//     deuteranopia and tritanopia: any two areas or lines of one picture differ by at least 20 (CIE
//     1976 ΔE), and every ramp falls for every sight.
package tint

import (
	"image/color"
	"math"
)

// Tint is a colour by lightness (0 black to 1 white), chroma and hue (degrees) in the OKLab space,
// in which equal steps look about equal (B. Ottosson, "A perceptual color space for image
// processing", 2020; matrices from that page).
type Tint struct{ Lightness, Chroma, HueDeg float64 }

// linear is the colour in linear-light sRGB, 0 to 1 where a screen can show it.
func (o Tint) linear() [3]float64 {
	sin, cos := math.Sincos(o.HueDeg * math.Pi / 180)
	a, b := o.Chroma*cos, o.Chroma*sin
	l := cube(o.Lightness + 0.3963377774*a + 0.2158037573*b)
	m := cube(o.Lightness - 0.1055613458*a - 0.0638541728*b)
	s := cube(o.Lightness - 0.0894841775*a - 1.2914855480*b)
	return [3]float64{
		4.0767416621*l - 3.3077115913*m + 0.2309699292*s,
		-1.2684380046*l + 2.6097574011*m - 0.3413193965*s,
		-0.0041960863*l - 0.7034186147*m + 1.7076147010*s,
	}
}

// Color is the colour as a screen shows it.
func (o Tint) Color() color.RGBA {
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

// The palettes are functions, not variables: nobody can change them. The numbers were found by a
// search that keeps the hue families (cool = seeded, warm = stray; one family for each axis of the
// crystal) and makes the smallest difference between any two areas as large as it gets, for normal
// sight and the three kinds of colour blindness; the test of this file holds that difference.

// Seeded are the colours of seeded grains, used in turn.
func Seeded() []Tint {
	return []Tint{{0.585, 0.144, 260}, {0.864, 0.074, 238}, {0.700, 0.125, 169}, {0.420, 0.100, 280}}
}

// Strays are the colours of strays, used in turn.
func Strays() []Tint {
	return []Tint{{0.735, 0.151, 66}, {0.570, 0.150, 38}, {0.860, 0.111, 90}}
}

// Sectors are the colours of the faces +a, −a, +b, −b, +c, −c, and of the seed itself.
func Sectors() []Tint {
	return []Tint{{0.481, 0.094, 245}, {0.743, 0.089, 237}, {0.628, 0.077, 74}, {0.859, 0.092, 74},
		{0.443, 0.124, 4}, {0.666, 0.128, 2}, {0.990, 0.004, 90}}
}

// Lines are the colours of the lines of a chart, in this order.
func Lines() []Tint {
	return []Tint{{0.334, 0.182, 282.4}, {0.732, 0.137, 75.2}, {0.303, 0.097, 343.6}, {0.749, 0.151, 230.9}, {0.401,
		0.153, 31.9}, {0.625, 0.042, 143.2}}
}

// Liquid is the ground of what is not solid.
func Liquid() Tint { return Tint{0.905, 0.006, 90} }

// Paper is white.
func Paper() Tint { return Tint{1, 0, 0} }

// Ink is for text and lines.
func Ink() Tint { return Tint{0.24, 0.012, 270} }

// Grey is for frames and remarks.
func Grey() Tint { return Tint{0.50, 0.010, 270} }

// LowAngle is the colour of boundaries between grains of nearly equal orientation.
func LowAngle() Tint { return Tint{0.62, 0.16, 255} }

// Arrival is the colour of arrival, share 0 (first) to 1 (last): pale green through blue to dark
// plum, falling evenly in lightness so that it reads the same in grey and to the colour-blind.
func Arrival(share float64) Tint {
	t := math.Max(0, math.Min(1, share))
	return Tint{0.93 - 0.63*t, 0.045 + 0.03*t + 0.05*math.Sin(math.Pi*t), 150 + 170*t}
}

// Chance is the colour of a probability, 0 pale sand to 1 deep teal.
func Chance(share float64) Tint {
	t := math.Max(0, math.Min(1, share))
	return Tint{0.95 - 0.60*t, 0.025 + 0.035*t + 0.035*math.Sin(math.Pi*t), 95 + 110*t}
}

// Strength is the colour of a field, share 0 (nothing, straw) through brick to 1 (strongest, dark
// wine).
func Strength(share float64) Tint {
	t := math.Max(0, math.Min(1, share))
	return Tint{0.95 - 0.64*t, 0.04 + 0.05*t + 0.08*math.Sin(math.Pi*t), 95 - 75*t}
}

// Angle is the colour of a boundary of high angle, share 0 (just above the joining angle, amber) to
// 1 (the largest there is, aubergine).
func Angle(share float64) Tint {
	t := math.Max(0, math.Min(1, share))
	return Tint{0.80 - 0.50*t, 0.12 + 0.03*math.Sin(math.Pi*t), 75 - 110*t}
}

// Shaded is the tint made darker (by < 0) or lighter, for hatching.
func (o Tint) Shaded(by float64) Tint {
	return Tint{math.Max(0, math.Min(1, o.Lightness+by)), o.Chroma, o.HueDeg}
}
