package run

import (
	"context"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"onegrain/studies"
)

// sameCase tells whether case i of a study has these values.
func sameCase(s *studies.Study, i int, values []any) bool {
	p, err := s.Plan(i)
	return err == nil && reflect.DeepEqual(p.Values, values)
}

// Where the values of a sampled design make cases the same, each is run once, and its row tells
// every place in the design.
func TestTwinsOfADesign(t *testing.T) {
	text := strings.NewReplacer("[[seed]]", "[[seed_array]]\nkind = \"row\"\npitch_mm = [1, 0]", "size_mm = [2, 2]",
		"size_mm = [0.5, 0.5]", "schedule.stage.3.rate_K_per_h", "seed_array.1.count", "cooling_rate_K_per_h", "seeds",
		"values = [0.3, 0.5, 1]", "from = 1\nto = 3", "replicates = 12", "replicates = 1", "[6, 12]",
		"[6, 9, 12]\n[design]\nkind = \"latin\"\npoints = 36").Replace(small)
	s := load(t, text)
	f := folder(t, t.TempDir(), s)
	for k := 1; k <= 2; k++ { // a case of two shards
		if _, err := (&Runner{Study: s, Folder: f, Workers: 2, Shard: k, Shards: 2}).Run(context.Background()); err != nil {
			t.Fatal(err)
		}
	}
	cases, err := f.Table("cases")
	if err != nil || cases.Len() != 9 {
		t.Fatalf("%d rows of cases (%v), wanted 9", cases.Len(), err)
	}
	seen := map[string]bool{}
	for r := range cases.Len() {
		for _, place := range strings.Fields(cases.Value(r, "design_points").(string)) {
			seen[place] = true
			var i int
			if _, err := fmt.Sscan(place, &i); err != nil || !sameCase(s, i-1,
				[]any{cases.Value(r, "seeds"), cases.Value(r, "start_K")}) {
				t.Errorf("row %d: place %s does not have its values", r, place)
			}
		}
	}
	if len(seen) != 36 {
		t.Errorf("%d of 36 places are told", len(seen))
	}
	if grid := folder(t, t.TempDir(), load(t, small)); grid != nil {
		run(t, &Runner{Study: load(t, small), Folder: grid, Workers: 2, OddsOnly: true})
		if cases, err := grid.Table("cases"); err != nil || cases.Value(0, "design_points") != nil {
			t.Errorf("a grid tells of points (%v)", err)
		}
	}
}
