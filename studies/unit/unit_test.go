package unit

import (
	"strings"
	"testing"
)

// The unit of a name is the longest ending that fits, and its text leads to the same code.
func TestUnits(t *testing.T) {
	for name, want := range map[string]Unit{
		"schedule.stage.1.rate_K_per_h":      {"_K_per_h", "K/h", "K/h"},
		"rate_at_10K_mm_per_h":               {"_mm_per_h", "mm/h", "mm/h"},
		"prefactor_per_mm3_h":                {"_per_mm3_h", "1/(mm³ h)", "1/(mm3.h)"},
		"critical_current_A_per_mm2":         {"_A_per_mm2", "A/mm²", "A/mm2"},
		"density_per_mm2":                    {"_per_mm2", "1/mm²", "1/mm2"},
		"volume_mm3":                         {"_mm3", "mm³", "mm3"},
		"barrier_K3":                         {"_K3", "K³", "K3"},
		"turn_deg":                           {"_deg", "°", "deg"},
		"peritectic_C":                       {"_C", "°C", "Cel"},
		"exponent":                           {"", "", "1"},
		"C":                                  {"", "", "1"},
		"body.mm_per_pixel":                  {"", "", "1"},
		"gradient.radial_K_per_mm":           {"_K_per_mm", "K/mm", "K/mm"},
		"nucleation.melt.rate_per_mm2_h":     {"_per_mm2_h", "1/(mm² h)", "1/(mm2.h)"},
		"schedule.stage.1.to_undercooling_K": {"_K", "K", "K"},
	} {
		got := Of(name)
		if got != want || Code(got.Text) != want.Code || Text(got.Code) != want.Text {
			t.Errorf("%s is in %+v, code %q, wanted %+v", name, got, Code(got.Text), want)
		}
	}
	seen := map[string]bool{}
	units := all()
	for i, u := range units {
		if seen[u.Text] || seen[u.Code+" "] || u.Ending == "" || u.Text == "" || u.Code == "" {
			t.Errorf("%+v stands there twice, or lacks a form", u)
		}
		seen[u.Text], seen[u.Code+" "] = true, true
		for _, v := range units[:i] {
			if strings.HasSuffix(u.Ending, v.Ending) {
				t.Errorf("%s hides %s", v.Ending, u.Ending)
			}
		}
	}
}
