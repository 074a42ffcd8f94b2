package laws

import (
	"slices"
	"strings"
	"testing"

	"onegrain/studies/strict"
)

// keys are those of the laws and the keys of a body that they look at.
func keys() strict.Schema {
	return slices.Concat(MaterialFields(), NucleationFields(), []strict.Field{
		strict.Text("body.shape", ""), strict.Text("body.plane", ""),
		strict.Number("body.thickness_mm", strict.Range{}, ""), {Key: "body.periodic", Like: false},
	})
}

func read1(t *testing.T, text string) (*strict.Document, strict.Problems) {
	t.Helper()
	d, found := strict.Read("laws.toml", text, keys())
	if d == nil || len(found) > 0 {
		t.Fatalf("%s: %v", text, found)
	}
	return d, d.Complete()
}

// Every law that a study may name is made of its own keys and of nothing less.
func TestEveryLawIsMade(t *testing.T) {
	values := map[string]string{
		"rate_at_10K_mm_per_h": "0.1", "exponent": "1.9", "undercooling_K": "[0, 10]", "rate_mm_per_h": "[0, 1]",
		"barrier_K3": "1e7", "prefactor_per_mm3_h": "1e4", "prefactor_per_mm2_h": "1e4", "mean_undercooling_K": "20",
		"spread_K": "2", "density_per_mm3": "0.1", "density_per_mm2": "0.1", "rate_per_mm3_h": "[0, 1]",
		"rate_per_mm2_h": "[0, 1]",
	}
	laws := 0
	for _, f := range keys() {
		at, is := strings.CutSuffix(f.Key, ".law")
		if !is {
			continue
		}
		for _, name := range f.Choices {
			text := "[" + at + "]\nlaw = \"" + name + "\"\n"
			var own []string
			for _, g := range keys() {
				key, below := strings.CutPrefix(g.Key, at+".")
				if below && strings.Contains(g.When.String(), `law = "`+name+`"`) && g.Needed {
					own = append(own, key+" = "+values[key]+"\n")
				}
			}
			made := func(text string) bool {
				d, _ := read1(t, text)
				if strings.HasPrefix(at, "material") {
					law, found := Growth(d, at+".")
					return law != nil && len(found) == 0
				}
				m, found := Nuclei(d)
				return Any(m) && len(found) == 0
			}
			if got := made(text + strings.Join(own, "")); got != (name != None) {
				t.Errorf("%s = %q with %q is made: %v", f.Key, name, own, got)
			}
			for i := range own {
				d, found := read1(t, text+strings.Join(slices.Delete(slices.Clone(own), i, i+1), ""))
				missing := func(p strict.Problem) bool {
					return strings.HasPrefix(p.Wanted, "missing") && strings.HasPrefix(p.Key, at)
				}
				if d == nil || !slices.ContainsFunc(found, missing) {
					t.Errorf("%s = %q without %s: %v", f.Key, name, own[i], found)
				}
			}
			laws++
		}
	}
	if laws != 2*2+4*4 {
		t.Errorf("%d laws tried", laws)
	}
}
