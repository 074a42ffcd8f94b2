package material

import (
	"math"
	"slices"
	"testing"

	"github.com/BurntSushi/toml"
)

// The table has no key that is not read, and each value says in one of few ways how sure it is.
func TestTable(t *testing.T) {
	var all struct{ Row []Row }
	meta, err := toml.Decode(rows, &all)
	if err != nil || len(meta.Undecoded()) > 0 || len(all.Row) < 11 {
		t.Fatalf("%d rows, keys that nobody reads: %v (%v)", len(all.Row), meta.Undecoded(), err)
	}
	for _, m := range Rows() {
		for _, p := range m.Properties {
			if !slices.Contains([]string{"read in the source", "from memory, high confidence", "from memory, medium confidence",
				"from memory, low confidence", "derived here", "calibrated here", "assumed here"}, p.Sure) {
				t.Errorf("%s, %s: %q says nothing of how sure it is", m.Name, p.Key, p.Sure)
			}
		}
		if math.IsNaN(m.Number("material.peritectic_C")) || m.Remark == "" {
			t.Errorf("%s has no peritectic temperature or no remark", m.Name)
		}
	}
}

// The row of Sm123 converts the published constants; checked against nuclei per hour in a puck of
// 4.9 cm³ at 0.04 Pa s worked out from the source's own formula, I = (A/η) exp(−B (T_p/ΔT)²): 0.05
// at 16 K and 3e-3 at 15 K. Canary: the barrier of Nd123.
func TestSamariumNucleation(t *testing.T) {
	row, err := Find("Sm123, 1% O2")
	if err != nil {
		t.Fatal(err)
	}
	values := map[string]float64{}
	for _, p := range row.Properties {
		values[p.Key], _ = p.Value.(float64)
	}
	nuclei := func(barrier, undercooling float64) float64 {
		temperature := values["material.peritectic_C"] + 273.15 - undercooling
		return 4900 * values["nucleation.melt.prefactor_per_mm3_h"] * math.Exp(
			-barrier/(temperature*undercooling*undercooling))
	}
	published := func(undercooling float64) float64 {
		return 4.9e-6 * 3600 * 12.5e7 / 0.04 * math.Exp(-3.2e-3*math.Pow(1290/undercooling, 2))
	}
	b := values["nucleation.melt.barrier_K3"]
	// The barrier is matched at 16 K and rounded to three digits, 0.06 %, of an exponent of 21: 1.2 %.
	// Two kelvin away T differs by 0.16 %, of an exponent of 27 (14 K): 4.3 % more.
	for u, tolerance := range map[float64]float64{14: 0.07, 16: 0.02, 18: 0.05} {
		if got, want := nuclei(b, u), published(u); math.Abs(got/want-1) > tolerance {
			t.Errorf("%g K: %.3g nuclei an hour, wanted %.3g", u, got, want)
		}
	}
	if math.Abs(nuclei(3.29e6, 16)/published(16)-1) < 0.5 {
		t.Error("the canary passes: the barrier of another material gives the same rate")
	}
	// 0.39 mm/h at 20 K for 0.04 Pa s
	if u := values["material.growth_a.rate_at_10K_mm_per_h"] * 4; math.Abs(u-0.39) > 0.005 {
		t.Errorf("%.3g mm/h at 20 K, wanted 0.39", u)
	}
}
