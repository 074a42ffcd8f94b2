package cluster

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Where no limit is known a task should have an hour's work at most: long beside what starting it
// costs (a second or so), short beside usual limits.
const usualHours = 1

// tasksMost is how many tasks are made without being asked for: more do not help on most clusters
// and burden their schedulers.
const tasksMost = 1000

// tasks is the number of tasks such that by estimate each needs half of its time at most, as far as
// the scheduler takes so many and there are as many cases.
func (s *Submission) tasks() int {
	hours := float64(usualHours)
	if s.limitHours > 0 {
		hours = s.limitHours
	}
	wanted := math.Ceil(s.taskHours(1) / (hours / 2))
	return max(1, int(min(wanted, tasksMost, float64(s.cases), float64(s.largest))))
}

// taskHours is how long one of so many tasks works at most, by estimate.
func (s *Submission) taskHours(tasks int) float64 {
	return s.coreHours / float64(tasks) / float64(max(1, s.CPUs))
}

// programMiB is what the program takes beside its runs.
const programMiB = 512

// memoryMiB is what a task asks for whose runs need so many bytes each, and whose rows that wait
// for their file so many together, by estimate: twice that, since a task that asks for too little
// is killed. The estimate holds within a factor of 1.5, and was made for a sample of the cases.
func memoryMiB(bytesPerRun, waiting int64, cpus int) int64 {
	const mib = 1 << 20
	return programMiB + (2*(int64(max(1, cpus))*bytesPerRun+waiting)+mib-1)/mib
}

// mib reads an amount of memory as Slurm writes it: a whole number of MiB, or with K, M, G or T.
func mib(text string) (int64, error) {
	digits := strings.TrimRight(text, "KMGTkmgtB")
	n, err := strconv.ParseInt(digits, 10, 64)
	perUnit := map[string]float64{"": 1, "K": 1. / 1024, "M": 1, "G": 1 << 10, "T": 1 << 20}
	unit, known := perUnit[strings.TrimSuffix(strings.ToUpper(text[len(digits):]), "B")]
	if err != nil || !known || n < 1 || n > 1<<40 {
		return 0, fmt.Errorf("%q: wanted memory as 800M or 4G", text)
	}
	return max(1, int64(math.Ceil(float64(n)*unit))), nil
}

// hours reads a length of time as Slurm writes it: M, M:S, H:M:S, D-H, D-H:M or D-H:M:S.
func hours(text string) (float64, error) {
	wrong := fmt.Errorf("%q: wanted a time as 90 (minutes), 2:30:00 (hours, minutes, seconds) or 1-12 (days-hours)", text)
	days, rest, hasDays := strings.Cut(text, "-")
	scale := []float64{1. / 60, 1. / 3600} // minutes, seconds
	if !hasDays {
		days, rest = "0", text
	}
	parts := strings.Split(rest, ":")
	if hasDays || len(parts) == 3 {
		scale = []float64{1, 1. / 60, 1. / 3600}
	}
	d, err := strconv.ParseUint(days, 10, 16)
	if err != nil || len(parts) > len(scale) {
		return 0, wrong
	}
	hours := 24 * float64(d)
	for i, p := range parts {
		n, err := strconv.ParseUint(p, 10, 32)
		if err != nil {
			return 0, wrong
		}
		hours += float64(n) * scale[i]
	}
	if hours <= 0 {
		return 0, wrong
	}
	return hours, nil
}
