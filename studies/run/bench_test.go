package run

import (
	"context"
	"strings"
	"syscall"
	"testing"
	"time"

	"onegrain/sim"
	"onegrain/sim/measure"
	"onegrain/studies"
	"onegrain/studies/table"
)

// timed runs a study into a fresh folder on the disk; cpu and wall are seconds.
func timed(b *testing.B, s *studies.Study, workers int) (cpu, wall float64, done Summary) {
	b.Helper()
	f, err := table.Create(b.TempDir(), s.Text, studies.Draws, table.Provenance{Version: "test",
		ModelVersion: studies.ModelVersion, Command: "bench", Start: time.Unix(0, 0)})
	if err != nil {
		b.Fatal(err)
	}
	start, used := time.Now(), processorTime(b)
	done, err = (&Runner{Study: s, Folder: f, Workers: workers}).Run(context.Background())
	if err != nil || done.Failed > 0 {
		b.Fatal(done, err)
	}
	return processorTime(b) - used, time.Since(start).Seconds(), done
}

func processorTime(b testing.TB) float64 {
	b.Helper()
	var r syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &r); err != nil {
		b.Fatal(err)
	}
	return float64(r.Utime.Sec+r.Stime.Sec) + 1e-6*float64(r.Utime.Usec+r.Stime.Usec)
}

// bare does what a study asks for without runner, tables and files.
func bare(b *testing.B, s *studies.Study) (cpu, wall float64) {
	b.Helper()
	start, used := time.Now(), processorTime(b)
	for i := range s.Cases() {
		p, err := s.Plan(i)
		if err != nil {
			b.Fatal(err)
		}
		c, err := p.Case()
		if err != nil {
			b.Fatal(err)
		}
		seeded := sim.Prepare(c).Seeded(p.Key(1))
		measure.Look(seeded, p.JoinDeg).Odds()
		survey := measure.Look(seeded, p.JoinDeg)
		for k := range s.Replicates {
			if o := seeded.Strays(p.Key(k + 1)); o != seeded {
				survey = measure.Look(o, p.JoinDeg)
			}
			survey.Run()
			survey.Grains()
			survey.Boundaries()
		}
	}
	return processorTime(b) - used, time.Since(start).Seconds()
}

// BenchmarkOverhead tells what running, measuring, writing and syncing cost for each of 3,000 tiny
// runs beyond the runs themselves: wanted 2 ms at most. Wall time means something on an idle
// machine only, processor time on a busy one too.
func BenchmarkOverhead(b *testing.B) {
	s, err := studies.Load("tiny.toml", []byte(strings.Replace(small, "replicates = 12", "replicates = 500", 1)), nil, 0)
	if err != nil {
		b.Fatal(err)
	}
	cpu, wall := 0.0, 0.0
	for b.Loop() {
		c0, w0 := bare(b, s)
		c1, w1, done := timed(b, s, 1)
		cpu, wall = (c1-c0)/float64(done.Runs), (w1-w0)/float64(done.Runs)
	}
	b.ReportMetric(1e3*cpu, "cpu-ms/run")
	b.ReportMetric(1e3*wall, "wall-ms/run")
	b.ReportMetric(0, "ns/op")
}

// BenchmarkParallel tells the efficiency of two workers on two processors, time of one worker over
// twice the time of two, for runs of some 2 s: wanted 0.95 at least. Use an idle machine: `busy` is
// the share of the two processors' time that the two workers got.
func BenchmarkParallel(b *testing.B) {
	text := strings.NewReplacer("plane = \"ab\"", "height_mm = 6", "diameter_mm = 10", "diameter_mm = 24",
		"cell_mm = 0.25", "cell_mm = 0.1", "per_mm2_h", "per_mm3_h",
		"values = [0.3, 0.5, 1]", "values = [0.6]", "values = [6, 12]", "values = [14]",
		"replicates = 12", "replicates = 8").Replace(small)
	s, err := studies.Load("large.toml", []byte(text), nil, 0)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		_, one, done := timed(b, s, 1)
		cpu, two, _ := timed(b, s, 2)
		b.ReportMetric(one/float64(done.Runs), "s/run")
		b.ReportMetric(one/two/2, "efficiency")
		b.ReportMetric(cpu/two/2, "busy")
	}
	b.ReportMetric(0, "ns/op")
}
