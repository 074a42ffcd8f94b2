package studies

import (
	"io/fs"
	"reflect"
	"strings"
	"testing"

	"onegrain/sim/nucleation"
	"onegrain/studies/column"
)

func first(t *testing.T, text string) Planned {
	t.Helper()
	p, err := load(t, text).Plan(0)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// A case is its physics: what does not decide the result must not change its identity, whatever
// does must.
func TestIdentity(t *testing.T) {
	base := first(t, small)
	edit := func(pairs ...string) Planned { return first(t, strings.NewReplacer(pairs...).Replace(small)) }
	for what, same := range map[string]Planned{
		"title":            edit("Small", "Another title"),
		"seed":             edit("seed = 3", "seed = 4"),
		"replicates":       edit("replicates = 12", "replicates = 7"),
		"pairing":          edit("seed = 3", "seed = 3\npairing = \"independent\""),
		"explicit default": edit("size_mm = [2, 2]", "size_mm = [2.0, 2]\nturn_deg = 0\nat_mm = [0, 0]"),
		"base spelt out": edit(`base = "Y123, air"`, "peritectic_C = 1010\n[material.growth_a]\nlaw = "+
			"\"power\"\nrate_at_10K_mm_per_h = 0.134\nexponent = 1.9\n[material.growth_c]\nlaw = "+
			"\"power\"\nrate_at_10K_mm_per_h = 0.201\nexponent = 1.3"),
		"comment":     edit("[body]", "# a comment\n[body] # another"),
		"number form": edit("1.1e4", "11000"),
		"names":       edit(`name = "start_K"`, `name = "begin_K"`),
	} {
		if same.ID != base.ID {
			t.Errorf("%s changes the identity: %s, wanted %s\n%s", what, same.ID, base.ID, same.text)
		}
	}
	for what, other := range map[string]Planned{
		"cell": edit("cell_mm = 0.25", "cell_mm = 0.2"), "exponent": edit("[body]",
			"[material.growth_a]\nexponent = 1.8\n[body]"), "join": edit("[body]", "[domain]\njoin_deg = 6\n[body]"),
		"a second seed": edit("[schedule]", "[[seed]]\nsize_mm = [1, 1]\nat_mm = [3, 0]\n[schedule]"),
		"gradient":      edit("[body]", "[gradient]\nradial_K_per_mm = 0.01\n[body]"),
		"value":         edit("[0.3, 0.5, 1]", "[0.31, 0.5, 1]"), "side": edit("[nucleation.melt]",
			"[nucleation.side]\nlaw = \"sites\"\ndensity_per_mm2 = 1\nmean_undercooling_K = 40\nspread_K = "+
				"1\n[nucleation.melt]"),
		"tilt": edit("[nucleation.melt]", "[nucleation.orientation]\nkind = \"fibre\"\n[nucleation.melt]"),
	} {
		if other.ID == base.ID {
			t.Errorf("%s does not change the identity", what)
		}
	}
}

// Identities are a promise to those who keep results: they change with ModelVersion alone.
func TestIdentityIsKept(t *testing.T) {
	const want = "4989fa9e42045165"
	if got := first(t, small).ID; got != want {
		t.Errorf("the first case is %s, wanted %s: results kept by users would be orphaned", got, want)
	}
}

func TestKeys(t *testing.T) {
	s := load(t, small)
	a, _ := s.Plan(0)
	b, _ := s.Plan(1)
	if a.Key(1) != b.Key(1) || a.Key(1) == a.Key(2) {
		t.Error(`pairing "common": wanted the same key in both cases, another for each replicate`)
	}
	s = load(t, strings.Replace(small, "seed = 3", "seed = 3\npairing = \"independent\"", 1))
	c, _ := s.Plan(0)
	d, _ := s.Plan(1)
	if c.Key(1) == d.Key(1) {
		t.Error(`pairing "independent": wanted another key in each case`)
	}
	e, _ := load(t, strings.Replace(small, "seed = 3", "seed = 4", 1)).Plan(0)
	if e.Key(1) == a.Key(1) {
		t.Error("the seed does not change the key")
	}
}

func values(t *testing.T, s *Study) [][]any {
	t.Helper()
	var all [][]any
	for i := range s.Cases() {
		p, err := s.Plan(i)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, p.Values)
	}
	return all
}

func TestDesigns(t *testing.T) {
	if got, want := values(t, load(t, small)), [][]any{{0.3, 6.0}, {0.3, 12.0}, {0.5, 6.0}, {0.5, 12.0}, {1.0, 6.0},
		{1.0, 12.0}}; !reflect.DeepEqual(got, want) {
		t.Errorf("grid: %v, wanted %v", got, want)
	}
	together := load(t, strings.Replace(small, "values = [6, 12]",
		"from = 5\nto = 20\ncount = 3\nspacing = \"log\"\n[design]\nkind = \"together\"", 1))
	if got, want := values(t, together), [][]any{{0.3, 5.0}, {0.5, 10.0}, {1.0, 20.0}}; !reflect.DeepEqual(got, want) {
		t.Errorf("together, log: %v, wanted %v", got, want)
	}
	none := small[:strings.Index(small, "[[vary]]")]
	if got := values(t, load(t, none)); len(got) != 1 || len(got[0]) != 0 {
		t.Errorf("nothing varied: %v, wanted one case without values", got)
	}
	steps := load(t, strings.Replace(small, "values = [6, 12]", "from = 5.1\nto = 5.7\ncount = 7", 1))
	if got, want := values(t, steps)[2][1], 5.3; got != want {
		t.Errorf("the third of seven steps from 5.1 to 5.7 is %v, wanted %v as it is written", got, want)
	}
	words := load(t, strings.NewReplacer("[[seed]]", "[[seed_array]]\nkind = \"row\"\ncount = 2\npitch_mm = [4, 0]",
		"schedule.stage.3.rate_K_per_h", "seed_array.1.count", "cooling_rate_K_per_h", "seeds",
		"[0.3, 0.5, 1]", "[1, "+
			"2]", "schedule.stage.2.to_undercooling_K", "nucleation.orientation.kind", "start_K", "kind", "[6, "+
			"12]", `["parallel", "fibre"]`).Replace(small))
	if got, want := values(t, words), [][]any{{int64(1), "parallel"}, {int64(1), "fibre"}, {int64(2), "parallel"},
		{int64(2), "fibre"}}; !reflect.DeepEqual(got, want) {
		t.Errorf("whole numbers and words: %v, wanted %v", got, want)
	}
	for i, want := range []int{1, 1, 2, 2} {
		p, _ := words.Plan(i)
		c, err := p.Case()
		texture := []nucleation.Texture{nucleation.Parallel{}, nucleation.Fibre{}}[i%2]
		if err != nil || len(c.Seeds) != want || c.Nuclei.Texture != texture {
			t.Errorf("case %d: %d seeds, %+v, %v", i, len(c.Seeds), c.Nuclei, err)
		}
	}
}

func TestColumns(t *testing.T) {
	want := []column.Column{
		{Name: "cooling_rate_K_per_h", Unit: "K/h", Means: "varied: schedule.stage.3.rate_K_per_h", Kind: column.Real},
		{Name: "start_K", Unit: "K", Means: "varied: schedule.stage.2.to_undercooling_K", Kind: column.Real},
	}
	if got := load(t, small).Columns(); !reflect.DeepEqual(got, want) {
		t.Errorf("%v, wanted %v", got, want)
	}
}

// TestCatalog: every shipped study loads, and every one of its cases makes a case for the engine.
func TestCatalog(t *testing.T) {
	names, err := fs.Glob(Catalog(), "*.toml")
	if err != nil || len(names) == 0 {
		t.Fatal("no studies", err)
	}
	for _, name := range names {
		text, err := fs.ReadFile(Catalog(), name)
		if err != nil {
			t.Fatal(err)
		}
		s, err := Load(name, text, func(n string) ([]byte, error) { return fs.ReadFile(Catalog(), n) }, 8<<30)
		if err != nil {
			t.Error(err)
			continue
		}
		for _, i := range []int{0, s.Cases() - 1} {
			p, err := s.Plan(i)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := p.Case(); err != nil {
				t.Errorf("%s, %s: %v", name, p.Name(), err)
			}
			if _, err := s.Explain(i); err != nil {
				t.Errorf("%s: %v", name, err)
			}
		}
	}
}
