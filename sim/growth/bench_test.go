package growth

import (
	"math"
	"os"
	"runtime/debug"
	"strconv"
	"strings"
	"syscall"
	"testing"
)

// benchScenes are bodies of up to 25 million cells. "single" is one free grain of an odd
// orientation, "strays" a seed at the bottom and nuclei in time, "crowd" a thousand small seeds,
// "ring" a body with a hole, "tilted" a body 5 K colder at one end.
func benchScenes() []*scene {
	single := func(name string, x, y, z int) *scene {
		s := newScene(name, x, y, z, 0.5)
		return s.seed(0.02*float64(max(x, y, z)), s.axes("skew"), s.middle()...)
	}
	strays := func(name string, n, many int) *scene {
		s := newScene(name, n, n, n, 0.5)
		return s.seed(0.02*float64(n), s.axes("skew"), float64(n-1)/2, float64(n-1)/2, 0.05*float64(n)).strays(many)
	}
	crowd := func(name string, x, y, z int) *scene {
		return newScene(name, x, y, z, 0.5).spread(1000, 0.002*float64(max(x, y, z)))
	}
	ring := func(name string, n int) *scene {
		s := newScene(name, n, n, n, 0.5).ring()
		return s.seed(0.02*float64(n), s.axes("skew"), 0.12*float64(n)-0.5, float64(n-1)/2, float64(n-1)/2)
	}
	tilted := single("3D-256-tilted", 256, 256, 256)
	tilted.space.Gradient.VerticalKPerMM = 5.0 / 256
	return []*scene{
		single("3D-256-single", 256, 256, 256), single("3D-400x400x160-single", 400, 400, 160),
		single("3D-128-single", 128, 128, 128),
		strays("3D-256-strays20", 256, 20), strays("3D-256-strays200", 256, 200),
		crowd("3D-256-crowd", 256, 256, 256), crowd("3D-128-crowd", 128, 128, 128),
		ring("3D-256-ring", 256), ring("3D-128-ring", 128),
		single("2D-1000-single", 1000, 1000, 1), crowd("2D-1000-crowd", 1000, 1000, 1),
		tilted,
	}
}

// BenchmarkScenes prints, for each scene, CPU time per cell of the body for growing alone and for
// growing and reading every owner, sector and time into eight bytes a cell, the share of cells
// captured one by one, peak memory per cell while growing, and for single grains the worst distance
// from the exact box in cells.
func BenchmarkScenes(b *testing.B) {
	for _, s := range benchScenes() {
		b.Run(s.name, func(b *testing.B) { benchmark(b, s) })
	}
}

func benchmark(b *testing.B, s *scene) {
	cells := float64(s.space.Grid.Cells())
	debug.FreeOSMemory()
	// forget the peak so far; where that fails bytes/cell reads too high
	_ = os.WriteFile("/proc/self/clear_refs", []byte("5"), 0)
	before := status("VmRSS")
	grown, read := math.Inf(1), math.Inf(1)
	var f *Field
	var out []uint64
	peak := 0.0
	for b.Loop() {
		f = nil
		debug.FreeOSMemory()
		start := cpuSeconds()
		f, _ = s.grow()
		grown = math.Min(grown, cpuSeconds()-start)
		if peak == 0 {
			peak = status("VmHWM") - before
			out = make([]uint64, int(cells)+1)
		}
		readAll(f, out)
		read = math.Min(read, cpuSeconds()-start)
	}
	b.ReportMetric(grown/cells*1e9, "grow-ns/cell")
	b.ReportMetric(read/cells*1e9, "read-ns/cell")
	b.ReportMetric(float64(f.front.captured)/cells, "captured/cell")
	b.ReportMetric(peak/cells, "B/cell")
	if len(s.seeds) == 1 && len(s.nuclei) == 0 && f.front.hole == nil && f.front.clock != nil {
		worst, _, wrong := (&free{s, s.seeds[0]}).compare(f)
		b.ReportMetric(worst, "worst-cell")
		b.ReportMetric(float64(wrong), "wrong-sectors")
	}
	b.ReportMetric(0, "ns/op")
}

func readAll(f *Field, out []uint64) {
	n := f.front.grid.N
	row := make([]Cell, n[0])
	i := 0
	for z := range n[2] {
		for y := range n[1] {
			f.Row(y, z, row)
			for _, c := range row {
				if c.Grain != NoBody {
					out[i] = uint64(math.Float32bits(c.TimeH))<<32 | uint64(uint32(c.Grain))<<3 | uint64(c.Sector)
					i++
				}
			}
		}
	}
}

// BenchmarkCopy is the yardstick: copying eight bytes for each of 256³ cells.
func BenchmarkCopy(b *testing.B) {
	const cells = 1 << 24
	from, to := make([]uint64, cells), make([]uint64, cells)
	copy(to, from)
	best := math.Inf(1)
	for b.Loop() {
		start := cpuSeconds()
		copy(to, from)
		best = math.Min(best, cpuSeconds()-start)
	}
	b.ReportMetric(best/cells*1e9, "ns/cell")
	b.ReportMetric(0, "ns/op")
}

func cpuSeconds() float64 {
	var r syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &r); err != nil {
		return math.NaN()
	}
	return float64(r.Utime.Sec+r.Stime.Sec) + 1e-6*float64(r.Utime.Usec+r.Stime.Usec)
}

// status reads a line of /proc/self/status in bytes; NaN where there is none.
func status(field string) float64 {
	text, _ := os.ReadFile("/proc/self/status")
	for line := range strings.SplitSeq(string(text), "\n") {
		if w := strings.Fields(line); len(w) > 1 && w[0] == field+":" {
			if kB, err := strconv.ParseFloat(w[1], 64); err == nil {
				return kB * 1024
			}
		}
	}
	return math.NaN()
}
