package furnace

import "testing"

func TestCheck(t *testing.T) {
	to := func(c, rate float64) Stage { return Stage{Kind: ToTemperature, ToC: c, RateKPerH: rate} }
	puckAnd := func(more ...Stage) Schedule { s := puck(); s.Stages = append(s.Stages, more...); return s }
	slack := func(k float64) Schedule { s := puckAnd(to(1011, 50)); s.SlackK = k; return s }
	for _, c := range []struct {
		name            string
		schedule        Schedule
		seeds           []Seat
		lowest, highest float64
		want            []Problem
	}{
		{"an ordinary schedule", puck(), []Seat{{1060, 0, 0}, {1046, 0, 0}}, -4, 0, nil},
		{"too cold", Schedule{StartC: 25, Stages: []Stage{to(1005, 100), to(900, 1)}}, nil, 0, 0,
			[]Problem{{1, 0, NeverMelts, 5}}},
		{"too cold at the bottom only", puck(), nil, -40, 0, []Problem{{1, 0, NeverMelts, 5}}},
		{"molten at the start", Schedule{StartC: 1012, Stages: []Stage{to(980, 1)}}, nil, 0, 0, nil},
		{"molten at the start, but not everywhere", Schedule{StartC: 1012, Stages: []Stage{to(980, 1)}}, nil, -5, 0,
			[]Problem{{0, 0, NeverMelts, 3}}},
		{"exactly at the peritectic", Schedule{StartC: 1010, Stages: []Stage{to(980, 1)}}, nil, 0, 0, nil},
		{"stays liquid", Schedule{StartC: 25, Stages: []Stage{to(1045, 100), to(1013, 10)}}, nil, 0, 0,
			[]Problem{{2, 0, NeverSolidifies, 3}}},
		{"melts again", puckAnd(to(1011, 50)), nil, 0, 0, []Problem{{5, 0, MeltsGrain, 1}}},
		{"melts again by less than readings scatter", slack(1.5), nil, 0, 0, nil},
		{"melts again by more than that", slack(0.5), nil, 0, 0, []Problem{{5, 0, MeltsGrain, 1}}},
		{"melts again at the hot end only", puckAnd(to(1008, 50)), nil, 0, 3, []Problem{{5, 0, MeltsGrain, 1}}},
		{"a little warmer, still cold", puckAnd(to(1005, 50)), nil, -3, 3, nil},
		// a place of offset 5 freezes at ΔT > 5: the peak of 8 K is above, the later 4 K below it; no end
		// of the range (0, 20) does so
		{"melts between the ends", Schedule{StartC: 1030, Stages: []Stage{to(1002, 50), to(1006, 50), to(980, 1)}}, nil,
			0, 20, []Problem{{2, 0, MeltsGrain, 4}}},
		{"a seed that dissolves", puck(), []Seat{{1060, 0, 0}, {1045, 0, 0}, {1040, 0, 0}}, 0, 0,
			[]Problem{{1, 2, DissolvesSeed, 0}, {1, 3, DissolvesSeed, 5}}},
		{"a seed away from the hot part", puck(), []Seat{{1047, 0, 0}, {1047, 1, 0}}, 0, 40, nil},
		{"a seed that stays hot", puck(), []Seat{{1090, 31, 30}}, 0, 40, []Problem{{4, 0, NeverSolidifies, 0}}},
		{"a seed that is cold enough", puck(), []Seat{{1090, 31, 29}}, 0, 40, nil},
		{"cold where the seed is, hot at the reference", Schedule{StartC: 25, Stages: []Stage{to(1045, 100), to(1013, 10)}},
			[]Seat{{1060, 0, -4}}, -5, 0, nil},
		{"a seed in the hot part", puck(), []Seat{{1047, 4, 4}}, 0, 4, []Problem{{1, 1, DissolvesSeed, 2}}},
		{"a seed gone at the start", Schedule{StartC: 1100, Stages: []Stage{to(980, 1)}}, []Seat{{1060, 0, 0}}, 0, 0,
			[]Problem{{0, 1, DissolvesSeed, 40}}},
		{"two troubles", Schedule{StartC: 25, Stages: []Stage{to(1005, 100)}}, []Seat{{1000, 0, 0}}, 0, 0,
			[]Problem{{1, 0, NeverMelts, 5}, {1, 1, DissolvesSeed, 5}}},
	} {
		got := c.schedule.Check(1010, c.seeds, c.lowest, c.highest)
		same := len(got) == len(c.want)
		for i := 0; same && i < len(got); i++ {
			g, w := got[i], c.want[i]
			same = g.Stage == w.Stage && g.Seed == w.Seed && g.Kind == w.Kind && close(g.MarginK, w.MarginK)
		}
		if !same {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}
