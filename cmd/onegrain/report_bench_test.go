//go:build unix

package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"
)

// BenchmarkReport makes a page of 100,000 runs of 2,000 cases: seconds of processor, memory and
// size. 20 s and 1 GB are what people would wait for and have.
func BenchmarkReport(b *testing.B) {
	dir := filepath.Join(b.TempDir(), "many")
	writeResults(b, dir, 40, 50, 50, false)
	for b.Loop() {
		c := exec.Command(os.Args[0])
		c.Args = []string{"onegrain", "report", dir} // the test binary is the program where it goes by its name
		if said, err := c.CombinedOutput(); err != nil {
			b.Fatalf("%v: %s", err, said)
		}
		state := c.ProcessState
		b.ReportMetric((state.UserTime() + state.SystemTime()).Seconds(), "cpu-s/op")
		b.ReportMetric(float64(state.SysUsage().(*syscall.Rusage).Maxrss>>10), "MB")
	}
	page, err := os.Stat(filepath.Join(dir, "report.html"))
	must(b, err)
	b.ReportMetric(float64(page.Size()>>10), "kB/page")
}
