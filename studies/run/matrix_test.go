package run

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"onegrain/studies"
	"onegrain/studies/disk/trial"
	"onegrain/studies/table"
)

// invented is a small study of any design, with or without scatter, early stops and common nuclei;
// each takes some milliseconds a case.
func invented(r *rand.Rand) string {
	pick := func(all ...string) string { return all[r.IntN(len(all))] }
	shape := pick("shape = \"disc\"\nplane = \"ab\"\ndiameter_mm = 8",
		"shape = \"block\"\nplane = \"ac\"\nsize_mm = [10, 4]", "shape = \"disc\"\ndiameter_mm = 5\nheight_mm = 2",
		"shape = \"ring\"\nplane = \"ab\"\nouter_diameter_mm = 10\ninner_diameter_mm = 4")
	seed := "at_mm = [0, 0]"
	area := "prefactor_per_mm2_h = 1.1e4"
	if strings.Contains(shape, "ring") {
		seed = "at_mm = [3.5, 0]"
	}
	if strings.Contains(shape, "height") {
		area = "prefactor_per_mm3_h = 1.1e4"
	}
	if r.IntN(3) == 0 && strings.Contains(shape, "\"ac\"") {
		seed += "\ntilt_sd_deg = 8"
	} else if r.IntN(3) == 0 && !strings.Contains(shape, "\"ac\"") {
		seed += "\nturn_sd_deg = 8"
	}
	if r.IntN(8) == 0 {
		shape += "\n[gradient]\nradial_K_per_mm = 0.05"
	}
	random := fmt.Sprintf("seed = %d\nreplicates = %d\npairing = %q\n", r.IntN(1000), 1+r.IntN(18),
		pick("common", "independent"))
	if r.IntN(2) == 0 {
		random += fmt.Sprintf("precision = %.2f\n", 0.15+0.3*r.Float64())
	}
	first, second := "values = [0.4, 0.8, 1.6]", "values = [6, 12]"
	design := pick("kind = \"grid\"", "kind = \"grid\"", "kind = \"together\"", "kind = \"latin\"\npoints = 7",
		"kind = \"sobol\"\npoints = 8", "kind = \"saltelli\"\npoints = 2")
	switch {
	case strings.Contains(design, "together"):
		second = "values = [6, 9, 12]"
	case strings.Contains(design, "points"):
		first = "from = 0.4\nto = 1.6\nspacing = \"log\""
		if r.IntN(2) == 0 {
			second = "from = 4\nto = 14"
		}
	}
	return fmt.Sprintf(`[random]
%s[material]
base = "Y123, air"
[keep]
history = %v
[body]
cell_mm = 0.4
%s
[[seed]]
size_mm = [1.6, 1.6]
%s
[schedule]
[[schedule.stage]]
to_C = 1045
rate_K_per_h = 100
[[schedule.stage]]
to_undercooling_K = 10
rate_K_per_h = 60
[[schedule.stage]]
to_undercooling_K = 35
rate_K_per_h = 0.6
[nucleation.melt]
law = "barrier"
%s
barrier_K3 = 7e6
[[vary]]
key = "schedule.stage.3.rate_K_per_h"
%s
[[vary]]
key = "schedule.stage.2.to_undercooling_K"
%s
[design]
%s
`, random, r.IntN(2) == 0, shape, seed, area, first, second, design)
}

// finish runs a part of a study with a command, and where `patience` is not negative ends each
// command after so many runs and gives it again.
func finish(s *studies.Study, disk *trial.Memory, workers, shard, shards, patience int, odds bool) (commands int,
	err error) {
	for commands = 1; ; commands++ {
		f, err := table.Create("r", s.Text, studies.Draws, table.Provenance{Version: "test",
			ModelVersion: studies.ModelVersion, Command: fmt.Sprint(workers, shard, shards,
				commands), Start: time.Unix(int64(commands), 0)}, disk)
		if err != nil {
			return commands, err
		}
		ctx, cancel := context.WithCancel(context.Background())
		r := &Runner{Study: s, Folder: f, Workers: workers, Shard: shard, Shards: shards, OddsOnly: odds,
			Watch: func(c Summary) {
				if patience >= 0 && c.Runs > patience {
					cancel()
				}
			}}
		_, err = r.Run(ctx)
		cancel()
		if err == nil {
			return commands, f.Seal(time.Unix(int64(commands), 1))
		}
		if !errors.Is(err, context.Canceled) {
			return commands, err
		}
	}
}

// TestSameContentWhateverRanIt: workers 1, 2, 3, 7, as 1, 4 or 64 shards in any order, interrupted
// again and again or not: the content of the folder has one hash. Canary: the study with some runs
// more has another one.
func TestSameContentWhateverRanIt(t *testing.T) {
	workers, shards := []int{1, 3}, []int{1, 4}
	if trial.Amount(0, 1, 1) == 1 {
		workers, shards = []int{1, 2, 3, 7}, []int{1, 4, 64}
	}
	combinations, commands, amount := 0, 0, trial.Amount(1, 20, 200)
	for n := range amount {
		if trial.Stage(n, amount) {
			t.Logf("%d of %d", n, amount)
		}
		r := rand.New(rand.NewPCG(uint64(n), 20261125))
		text := invented(r)
		s, err := studies.Load("invented.toml", []byte(text), nil, 0)
		if err != nil {
			t.Fatalf("study %d: %v\n%s", n, err, text)
		}
		c := &content{study: s, odds: r.IntN(5) == 0, dice: r}
		want, _, err := c.of(1, 1, false)
		for _, w := range workers {
			for _, k := range shards {
				for _, interrupted := range []bool{false, true} {
					got, n, more := c.of(w, k, interrupted)
					if err = errors.Join(err, more); err != nil || got != want {
						t.Fatalf("study %d, %d workers, %d shards, interrupted: %v: content %s (%v), wanted %s as of one worker\n%s", n,
							w, k, interrupted, got, err, want, text)
					}
					combinations, commands = combinations+1, commands+n
				}
			}
		}
		c.study, err = studies.Load("invented.toml", []byte(strings.Replace(text, "replicates = ", "replicates = 1", 1)),
			nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		if c.study.Precision > 0 || c.odds {
			continue // ten replicates more may change nothing
		}
		if got, _, err := c.of(2, 1, false); err != nil || got == want {
			t.Errorf("study %d: the canary passes: more runs have the same content (%v)\n%s", n, err, text)
		}
	}
	t.Logf("%d studies, %d combinations of workers, shards and interruptions, %d commands", amount, combinations, commands)
}

// content runs a study again and again, each time on a disk of its own.
type content struct {
	study *studies.Study
	odds  bool
	dice  *rand.Rand
}

// of is the hash of what a folder holds at the end, and how many commands it took.
func (c *content) of(workers, shards int, interrupted bool) (hash string, commands int, err error) {
	disk := trial.NewMemory()
	for _, k := range c.dice.Perm(shards) {
		patience := -1
		if interrupted {
			patience = 1 + c.dice.IntN(1+c.study.Cases()*c.study.Replicates/3)
			if c.odds { // the placings of a case are lost unless all are done
				patience += 2 * c.study.Placings()
			}
		}
		n, err := finish(c.study, disk, workers, k+1, shards, patience, c.odds)
		if commands += n; err != nil {
			return "", commands, err
		}
	}
	f, err := table.Open("r", disk)
	if err != nil {
		return "", commands, err
	}
	hash, err = f.ContentHash()
	return hash, commands, err
}
