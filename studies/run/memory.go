package run

import (
	"fmt"
	"os"
	"strconv"
	"strings"
)

// MemoryThere is how much memory a program may take now, in bytes: by the kernel's own estimate,
// and within what a scheduler or a container grants it; 0 where nobody says.
func MemoryThere() int64 {
	there := memoryFree()
	for _, limit := range []int64{memoryOfContainer(os.ReadFile), memoryOfTask(os.Getenv)} {
		if limit > 0 && (there == 0 || limit < there) {
			there = limit
		}
	}
	return there
}

// programBytes is what the program takes beside its runs, of what it is granted.
const programBytes = 256 << 20

// WithoutProgram is what is left for runs.
func WithoutProgram(bytes int64) int64 { return max(bytes-programBytes, 1<<20) }

// memoryOfTask is what Slurm grants a task, in bytes; 0 where it says nothing. Its own numbers are
// MiB; 0 means all of the node.
func memoryOfTask(env func(string) string) int64 {
	node, _ := strconv.ParseInt(env("SLURM_MEM_PER_NODE"), 10, 64)
	if perCPU, err := strconv.ParseInt(env("SLURM_MEM_PER_CPU"), 10, 64); err == nil && node == 0 {
		cpus, err := strconv.ParseInt(env("SLURM_CPUS_ON_NODE"), 10, 64)
		if err != nil || cpus < 1 {
			cpus = 1
		}
		node = perCPU * cpus
	}
	if node <= 0 || node > 1<<40 {
		return 0
	}
	return WithoutProgram(node << 20)
}

// memoryOfContainer is what a control group grants, in bytes; 0 where there is none or it sets no
// bound.
func memoryOfContainer(read func(string) ([]byte, error)) int64 {
	const unbounded = 1 << 60 // older kernels write a huge number for "max"
	for _, file := range []string{"/sys/fs/cgroup/memory.max", "/sys/fs/cgroup/memory/memory.limit_in_bytes"} {
		text, err := read(file)
		if err != nil {
			continue
		}
		if n, err := strconv.ParseInt(strings.TrimSpace(string(text)), 10, 64); err == nil && n > 0 && n < unbounded {
			return WithoutProgram(n)
		}
	}
	return 0
}

// memoryFree is the kernel's own estimate of what can still be had.
func memoryFree() int64 {
	text, err := os.ReadFile("/proc/meminfo")
	if err != nil {
		return 0
	}
	for line := range strings.Lines(string(text)) {
		var kib int64
		if n, _ := fmt.Sscanf(line, "MemAvailable: %d kB", &kib); n == 1 {
			return kib << 10
		}
	}
	return 0
}
