// Package material holds the values of melts and crystals behind material.base of a study, each
// with its source and how sure it is.
package material

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"onegrain/studies/laws"
	"onegrain/studies/strict"
	"onegrain/studies/unit"
)

// Property is one value of a material.
type Property struct {
	Key   string `json:"key"`   // of a study, as "material.peritectic_C"
	Value any    `json:"value"` // the name of a law, or a float64 in the unit of the key
	Unit  string `json:"unit"`
	// "read in the source", "from memory, high | medium | low confidence", "derived here", "calibrated
	// here", "assumed here"
	Sure   string `json:"sure"`
	Source string `json:"source"`
}

// Row is one material. What it does not give, the study has to.
type Row struct {
	Name       string     `json:"name"`
	Remark     string     `json:"remark"`
	Properties []Property `json:"properties"`
}

const (
	readThere  = "read in the source"
	memoryHigh = "from memory, high confidence"
	memoryMid  = "from memory, medium confidence"
	memoryLow  = "from memory, low confidence"
	derived    = "derived here"
	calibrated = "calibrated here"
	assumed    = "assumed here"

	endo    = "Endo, Chauhan, Nakamura, Shiohara, J. Mater. Res. 11 (1996) 1114 (believed; abstract read)"
	mori    = "Mori, Nakahara, Fukamachi, Mukaida, Ogi, J. Japan Inst. Metals 70 (2006) 592, Ar-1% O2, on MgO(100)"
	reviews = "reviews of melt growth in air"
)

// Rows is the table behind material.base, in the order in which it is shown.
func Rows() []Row {
	return append([]Row{yttrium(), samarium(), neodymium()}, peritecticsOnly()...)
}

// Find is the row of a name; the error says that there is none, and which may have been meant.
func Find(name string) (Row, error) {
	var names strict.Schema
	for _, m := range Rows() {
		if m.Name == name {
			return m, nil
		}
		names = append(names, strict.Field{Key: m.Name})
	}
	if near := names.Nearest(name); near != "" {
		return Row{}, fmt.Errorf("no such material; did you mean %q?", near)
	}
	return Row{}, errors.New("no such material; `onegrain materials` lists them")
}

// Number is a number of the row by its key, in the unit of the key; NaN where the row gives none.
func (m Row) Number(key string) float64 {
	for _, p := range m.Properties {
		if x, ok := p.Value.(float64); ok && p.Key == key {
			return x
		}
	}
	return math.NaN()
}

// cited is where a value comes from and how sure it is.
type cited struct{ source, sure string }

func text(key, law string, by cited) Property {
	return Property{Key: key, Value: law, Source: by.source, Sure: by.sure}
}

func value(key string, number float64, by cited) Property {
	return Property{Key: key, Value: number, Unit: unit.Of(key).Text, Source: by.source, Sure: by.sure}
}

func peritectic(celsius float64, by cited) []Property {
	return []Property{value("material.peritectic_C", celsius, by)}
}

// power is a power law of growth.
func power(face string, rate float64, of cited, exponent float64, by cited) []Property {
	at := "material.growth_" + face + "."
	return []Property{
		text(at+"law", laws.Power, by),
		value(at+"rate_at_10K_mm_per_h", rate, of),
		value(at+"exponent", exponent, by),
	}
}

// barrier is a barrier law of nucleation in the melt.
func barrier(prefactor, barrier float64, by cited) []Property {
	const at = "nucleation.melt."
	return []Property{
		text(at+"law", laws.Barrier, by),
		value(at+"prefactor_per_mm3_h", prefactor, by),
		value(at+"barrier_K3", barrier, by),
	}
}

func yttrium() Row {
	prefactors := cited{"prefactors 4.7e-7 and 2.8e-6 mm/s per K^n, believed of the same paper; they meet at 19.6 K, " +
		"where the abstract says the two rates do", memoryMid}
	window := cited{"one stray per 4.9 cm³ in 50 h near 20 K, the upper end of the published single-grain window in air " +
		"(988–1003 °C); the prefactor is that of Sm123", calibrated}
	exponents := cited{endo, readThere}
	return Row{
		"Y123, air",
		"the peritectic temperature alone is quoted from 993 to 1020 °C: calibrate with runs of your own furnace",
		slices.Concat(
			peritectic(1010, cited{"Varanasi, McGinn, J. Electron. Mater. 22 (1993) 1251", readThere}),
			power("a", 0.134, prefactors, 1.9, exponents),
			power("c", 0.201, prefactors, 1.3, exponents),
			barrier(1.1e4, 1.12e7, window)),
	}
}

// samarium converts u = A (ΔT/T_p)²/η with A = 1.8e-5 N/m and I = (A_n/η) exp(−B (T_p/ΔT)²) with
// A_n = 12.5e7, B = 3.2e-3, for a viscosity η = 0.04 Pa s and T_p = 1290 K: u(10 K) =
// 1.8e-5·(10/1290)²/0.04 m/s = 0.0973 mm/h; I₀ = 12.5e7/0.04 per m³ s = 1.125e4 per mm³ h; the
// barrier B·T_p²·T is taken at T = T_p − 16 K, where strays begin: 3.2e-3·1290²·1274 = 6.78e6 K³.
func samarium() Row {
	how := cited{mori + ", with a viscosity of 0.04 Pa s and a peritectic temperature of 1290 K", derived}
	exponents := cited{mori, readThere}
	return Row{
		"Sm123, 1% O2",
		"the source gives one growth rate for all faces and no viscosity: 0.1 Pa s instead would divide growth and " +
			"nucleation by 2.5",
		slices.Concat(
			peritectic(1016.85, cited{"1290 K", assumed}),
			power("a", 0.0973, how, 2, exponents),
			power("c", 0.0973, how, 2, exponents),
			barrier(1.125e4, 6.78e6, how)),
	}
}

// neodymium has A_n = 3.5e7, B = 1.5e-3, T_p = 1303 K, taken at T_p − 11 K: I₀ = 8.75e8 per m³ s =
// 3150 per mm³ h, 1.5e-3·1303²·1292 = 3.29e6 K³. The growth constant is printed without the sign of
// its exponent and is left to the study.
func neodymium() Row {
	how := cited{mori + ", with a viscosity of 0.04 Pa s and a peritectic temperature of 1303 K", derived}
	return Row{
		"Nd123, 1% O2",
		"growth is left to the study: the constant is printed as 0.60e6, the sign of its exponent is lost",
		append(peritectic(1029.85, cited{"1303 K", assumed}), barrier(3150, 3.29e6, how)...),
	}
}

// peritecticsOnly are materials whose growth and nucleation nobody has published as laws.
func peritecticsOnly() (out []Row) {
	for _, m := range []struct {
		name string
		at   float64
		sure string
	}{
		{"Nd123, air", 1086, memoryMid}, {"Sm123, air", 1060, memoryHigh}, {"Eu123, air", 1050, memoryMid},
		{"Gd123, air", 1030, memoryHigh}, {"Dy123, air", 1010, memoryMid}, {"Ho123, air", 1000, memoryMid},
		{"Er123, air", 985, memoryMid}, {"Yb123, air", 950, memoryLow},
	} {
		const remark = "growth and nucleation are left to the study: no law is published"
		out = append(out, Row{m.name, remark, peritectic(m.at, cited{reviews, m.sure})})
	}
	return out
}
