package tint

import (
	"fmt"
	"math"
	"testing"
)

// TestOKLCHAgreesWithCSS checks the colour space against the value that CSS Color Module Level 4
// gives for pure sRGB red, Tint(0.62796 0.25768 29.234) (from memory), whose linear light is (1, 0,
// 0). Five printed digits leave an error of about 1e-4 in linear light. The canary is a hue that is
// off by one degree.
func TestOKLCHAgreesWithCSS(t *testing.T) {
	off := func(o Tint, want [3]float64) float64 {
		worst := 0.0
		for i, x := range o.linear() {
			worst = math.Max(worst, math.Abs(x-want[i]))
		}
		return worst
	}
	red := [3]float64{1, 0, 0}
	if d := off(Tint{0.62796, 0.25768, 29.234}, red); d > 3e-4 {
		t.Errorf("red is off by %g", d)
	}
	if d := off(Tint{1, 0, 0}, [3]float64{1, 1, 1}); d > 1e-6 {
		t.Errorf("white is off by %g", d)
	}
	if d := off(Tint{0.62796, 0.25768, 30.234}, red); d <= 3e-4 {
		t.Errorf("canary: a wrong hue passed, off by %g", d)
	}
}

// sights are what the three kinds of full colour blindness make of linear sRGB: G. M. Machado, M.
// M. Oliveira and L. A. F. Fernandes, IEEE Trans. Vis. Comput. Graph. 15 (2009) 1291, severity 1
// (from memory; the rows are checked to add up to 1, so that grey stays grey).
func sights() map[string][3][3]float64 {
	return map[string][3][3]float64{
		"normal": {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
		"protan": {{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}},
		"deutan": {{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}},
		"tritan": {{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}},
	}
}

func seen(o Tint, sight [3][3]float64) (lab [3]float64) {
	c := o.linear()
	var s [3]float64
	for i, row := range sight {
		s[i] = math.Max(0, math.Min(1, row[0]*c[0]+row[1]*c[1]+row[2]*c[2]))
	}
	return cielab(s)
}

// cielab is CIE 1976 L*a*b* of linear sRGB with white D65 (IEC 61966-2-1 and CIE 15).
func cielab(c [3]float64) [3]float64 {
	f := func(t float64) float64 {
		if t > 216.0/24389 {
			return math.Cbrt(t)
		}
		return (24389.0/27*t + 16) / 116
	}
	x := f((0.4124564*c[0] + 0.3575761*c[1] + 0.1804375*c[2]) / 0.95047)
	y := f(0.2126729*c[0] + 0.7151522*c[1] + 0.0721750*c[2])
	z := f((0.0193339*c[0] + 0.1191920*c[1] + 0.9503041*c[2]) / 1.08883)
	return [3]float64{116*y - 16, 500 * (x - y), 200 * (y - z)}
}

// closest is the smallest CIE 1976 difference between two of the tints, over all sights.
func closest(tints []Tint) (least float64, which string) {
	least = math.Inf(1)
	for name, sight := range sights() {
		for i := range tints {
			for j := range i {
				p, q := seen(tints[i], sight), seen(tints[j], sight)
				d := math.Sqrt((p[0]-q[0])*(p[0]-q[0]) + (p[1]-q[1])*(p[1]-q[1]) + (p[2]-q[2])*(p[2]-q[2]))
				if d < least {
					least, which = d, fmt.Sprintf("%s: tints %d and %d", name, j, i)
				}
			}
		}
	}
	return least, which
}

func TestSightsLeaveGreyGrey(t *testing.T) {
	for name, sight := range sights() {
		for _, row := range sight {
			if sum := row[0] + row[1] + row[2]; math.Abs(sum-1) > 2e-6 {
				t.Errorf("%s: a row adds up to %v", name, sum)
			}
		}
	}
}

// A difference of 2.3 is just noticeable (common practice for CIE 1976); areas of a picture differ
// by at least 20, nine times that, for everybody. The seed and the liquid, both nearly white,
// differ by 9, and by outline and dots as well. The canary is a red and a green of equal lightness,
// which normal sight tells apart with ease.
func TestPalettesServeTheColourBlind(t *testing.T) {
	const wanted, besideDots = 20, 9
	grains := append(append(Seeded(), Strays()...), Liquid())
	lines := append(Lines(), Paper())
	sectors := append(Sectors()[:6:6], Liquid())
	for name, tints := range map[string][]Tint{"grains": grains, "sectors": sectors, "sectors and seed": Sectors(),
		"lines": lines} {
		if d, which := closest(tints); d < wanted {
			t.Errorf("%s: difference %.1f (%s), wanted %d", name, d, which, wanted)
		}
	}
	if d, which := closest([]Tint{Sectors()[6], Liquid()}); d < besideDots {
		t.Errorf("seed and liquid: difference %.1f (%s), wanted %d", d, which, besideDots)
	}
	if d, _ := closest(append(grains, Tint{0.62, 0.15, 30}, Tint{0.62, 0.15, 140})); d >= wanted {
		t.Errorf("canary: red and green of one lightness passed with %.1f", d)
	}
}

// ramps are all sequential palettes.
func ramps() map[string]func(share float64) Tint {
	return map[string]func(float64) Tint{"arrival": Arrival, "chance": Chance, "strength": Strength, "angle": Angle}
}

// uneven tells where a ramp does not fall evenly in lightness for every sight: each of its 16 steps
// by at least half of the mean step.
func uneven(ramp func(share float64) Tint) string {
	const steps = 16
	for name, sight := range sights() {
		mean := (seen(ramp(0), sight)[0] - seen(ramp(1), sight)[0]) / steps
		for i := range steps {
			fall := seen(ramp(float64(i)/steps), sight)[0] - seen(ramp(float64(i+1)/steps), sight)[0]
			if fall < mean/2 {
				return fmt.Sprintf("%s: step %d falls by %.2f, the mean step by %.2f", name, i, fall, mean)
			}
		}
	}
	return ""
}

func TestRampsFallForEverySight(t *testing.T) {
	for name, ramp := range ramps() {
		if fault := uneven(ramp); fault != "" {
			t.Errorf("%s: %s", name, fault)
		}
	}
	if uneven(func(share float64) Tint { return Tint{0.7, 0.1, 360 * share} }) == "" {
		t.Error("canary: a rainbow of one lightness passed")
	}
}

// A boundary of low angle must not be taken for one of high angle: it differs from every part of
// that ramp as areas do.
func TestLowAngleStandsOnNoPartOfTheAngleRamp(t *testing.T) {
	for i := range 21 {
		share := float64(i) / 20
		if d, which := closest([]Tint{LowAngle(), Angle(share)}); d < 20 {
			t.Errorf("share %.2f: difference %.1f (%s), wanted 20", share, d, which)
		}
	}
	if d, _ := closest([]Tint{Angle(0.5).Shaded(0.02), Angle(0.5)}); d >= 20 {
		t.Errorf("canary: two parts of the ramp differ by %.1f", d)
	}
}

// No colour needs more than a screen can show.
func TestColoursCanBeShown(t *testing.T) {
	all := append(append(append(append(Seeded(), Strays()...), Sectors()...), Lines()...), Liquid(), Ink(), Grey(),
		LowAngle())
	for i := range 101 {
		for _, ramp := range ramps() {
			all = append(all, ramp(float64(i)/100))
		}
	}
	for i, o := range all {
		for _, x := range o.linear() {
			if x < -0.002 || x > 1.002 {
				t.Errorf("colour %d (%v) cannot be shown: %v", i, o, o.linear())
			}
		}
	}
}
