package run

import (
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"
)

// MemoryThere is how much memory a program may take now, in bytes: by the kernel's own estimate,
// and within what a scheduler or a container grants it; 0 where nobody says.
func MemoryThere() int64 {
	limits := []int64{memoryFree(), memoryOfContainer(os.ReadFile), memoryOfTask(os.Getenv)}
	limits = slices.DeleteFunc(limits, func(bytes int64) bool { return bytes <= 0 })
	if len(limits) == 0 {
		return 0
	}
	return slices.Min(limits)
}

// programBytes is what the program takes beside its runs, of what it is granted.
const programBytes = 256 << 20

// WithoutProgram is what is left for runs.
func WithoutProgram(bytes int64) int64 { return max(bytes-programBytes, 1<<20) }

// memoryOfTask is what Slurm grants a task, in bytes; 0 where it says nothing. Its own numbers are
// MiB; 0 means all of the node.
func memoryOfTask(env func(string) string) int64 {
	number := func(name string) int64 {
		n, _ := strconv.ParseInt(env(name), 10, 64) // 0 where it is none
		return n
	}
	node := number("SLURM_MEM_PER_NODE")
	if node == 0 {
		node = number("SLURM_MEM_PER_CPU") * max(1, number("SLURM_CPUS_ON_NODE"))
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
