package studies

import (
	"fmt"
	"strings"
	"testing"
)

const settled = `title = "Settled"
[material]
base = "Y123, air"
[body]
shape = "disc"
diameter_mm = 9
cell_mm = 0.5
plane = "ab"
thickness_mm = 5
[[seed]]
size_mm = [2, 2]
peritectic_C = 1060
[schedule]
start_C = 1030
[[schedule.stage]]
to_undercooling_K = 30
rate_K_per_h = 1
[[vary]]
key = "schedule.stage.1.rate_K_per_h"
values = [1, 2]
`

// changedKeys are the keys whose text differs between the settled study and another.
func changedKeys(t *testing.T, old, by string) string {
	t.Helper()
	var all [2]map[string]string
	for i, text := range []string{settled, strings.Replace(settled, old, by, 1)} {
		s, err := Load("a.toml", []byte(text), nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		all[i] = s.Settings()
	}
	var keys []string
	for key := range all[0] {
		if all[1][key] != all[0][key] {
			keys = append(keys, fmt.Sprintf("%s: %s > %s", key, all[0][key], all[1][key]))
		}
	}
	for key := range all[1] {
		if _, ok := all[0][key]; !ok {
			keys = append(keys, key+": > "+all[1][key])
		}
	}
	return strings.Join(keys, "; ")
}

func TestSettingsTellWhatAStudyMeans(t *testing.T) {
	for _, c := range []struct{ old, by, want string }{
		{"cell_mm = 0.5", "cell_mm = 0.50 # half a millimetre", ""},
		{"[material]", "[random]\nseed = 1\n[material]", ""},
		{"[material]", "[random]\nseed = 2\n[material]", "random.seed: 1 > 2"},
		{"cell_mm = 0.5", "cell_mm = 0.45", "body.cell_mm: 0.5 > 0.45"},
		{"values = [1, 2]", "values = [1, 2, 3]", "vary.1.values: [1, 2] > [1, 2, 3]"},
		{"peritectic_C = 1060", "peritectic_C = 1060\nturn_deg = 10", "seed.1.turn_deg: > 10"},
		{`title = "Settled"`, `title = "Unsettled"`, `title: "Settled" > "Unsettled"`},
	} {
		if got := changedKeys(t, c.old, c.by); got != c.want {
			t.Errorf("%s: %q, wanted %q", c.by, got, c.want)
		}
	}
	for key, want := range map[string]bool{"body.cell_mm": true, "seed.1.turn_deg": true, "random.seed": false,
		"title": false, "material.base": false, "vary.1.values": false} {
		if Decides(key) != want {
			t.Errorf("Decides(%s) is %v", key, !want)
		}
	}
}
