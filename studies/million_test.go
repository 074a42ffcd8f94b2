package studies

import (
	"runtime"
	"strings"
	"syscall"
	"testing"
)

// A million runs, and a million cases, are read, checked and explained within 5 s of processor time
// and 500 MB (here without the one run that the command adds). Designs are among them whose points
// are made when they are asked for.
func TestAMillionIsQuick(t *testing.T) {
	spread := func(design string) string {
		return strings.NewReplacer("values = [0.3, 0.5, 1]", "from = 0.2\nto = 0.8", "values = [6, 12]",
			"from = 4\nto = 18\n[design]\n"+design).Replace(small)
	}
	for name, text := range map[string]string{
		"runs": strings.Replace(small, "replicates = 12", "replicates = 166667", 1),
		"grid": strings.NewReplacer("values = [0.3, 0.5, 1]", "from = 0.2\nto = 0.8\ncount = 1000", "values = [6, 12]",
			"from = 4\nto = 18\ncount = 1000").Replace(small),
		"latin":    spread("kind = \"latin\"\npoints = 1000000"),
		"sobol":    spread("kind = \"sobol\"\npoints = 1000000"),
		"saltelli": spread("kind = \"saltelli\"\npoints = 250000"),
	} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		start := processorTime(t)
		s := load(t, text)
		e, err := s.Explain(s.Cases() - 1)
		if err != nil {
			t.Fatal(err)
		}
		runtime.ReadMemStats(&after)
		if took := processorTime(t) - start; took > 5 || after.Sys-before.Sys > 500<<20 || e.Runs < 1000000 {
			t.Errorf("%s: %d runs, %.2f s and %d MB more, wanted a million within 5 s and 500 MB", name, e.Runs, took,
				(after.Sys-before.Sys)>>20)
		} else {
			t.Logf("%s: %d cases, %d runs, %.2f s, %d MB more", name, e.Cases, e.Runs, took, (after.Sys-before.Sys)>>20)
		}
	}
}

func processorTime(b testing.TB) float64 {
	b.Helper()
	var r syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &r); err != nil {
		b.Fatal(err)
	}
	return float64(r.Utime.Sec+r.Stime.Sec) + 1e-6*float64(r.Utime.Usec+r.Stime.Usec)
}
