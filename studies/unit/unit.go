package unit

import "strings"

// Unit is a unit in its three forms; the zero one, but for its code, is that of a plain number.
type Unit struct {
	Ending string // of a name, as "_K_per_h"
	Text   string // as "K/h" or "mm³"
	Code   string // UCUM, as "K/h" or "mm3"; "1" for a plain number
}

// all lists the units, longer endings first.
func all() [16]Unit {
	return [...]Unit{
		{"_K_per_h", "K/h", "K/h"},
		{"_K_per_mm", "K/mm", "K/mm"},
		{"_mm_per_h", "mm/h", "mm/h"},
		{"_per_mm3_h", "1/(mm³ h)", "1/(mm3.h)"},
		{"_per_mm2_h", "1/(mm² h)", "1/(mm2.h)"},
		{"_A_per_mm2", "A/mm²", "A/mm2"},
		{"_per_mm3", "1/mm³", "1/mm3"},
		{"_per_mm2", "1/mm²", "1/mm2"},
		{"_mm3", "mm³", "mm3"},
		{"_mm2", "mm²", "mm2"},
		{"_K3", "K³", "K3"},
		{"_mm", "mm", "mm"},
		{"_deg", "°", "deg"},
		{"_h", "h", "h"},
		{"_K", "K", "K"},
		{"_C", "°C", "Cel"},
	}
}

// Of is the unit that a name ends in.
func Of(name string) Unit {
	return find(func(u Unit) bool { return strings.HasSuffix(name, u.Ending) })
}

// Code is the UCUM code of a unit as people write it, "1" for an empty text.
func Code(text string) string { return find(func(u Unit) bool { return u.Text == text }).Code }

// Text is a unit as people write it, by its UCUM code; empty for a plain number.
func Text(code string) string { return find(func(u Unit) bool { return u.Code == code }).Text }

func find(is func(Unit) bool) Unit {
	for _, u := range all() {
		if is(u) {
			return u
		}
	}
	return Unit{Code: "1"}
}
