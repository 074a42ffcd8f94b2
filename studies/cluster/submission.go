package cluster

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"onegrain/studies"
	"onegrain/studies/disk"
)

// slowest is how many times as long as estimated a task is given: the estimate holds within a
// factor of two, and the processors of a cluster are often slower and shared. Memory has its factor
// in memoryMiB.
const slowest = 3

// Submission is a study with what was asked for its tasks.
type Submission struct {
	Path               string // of the study file
	Results            string // folder
	Tasks, CPUs        int    // Tasks 0 = by the estimate of the work; CPUs are runs at a time in each task
	Time, Memory       string // of a task, as Slurm writes them; empty = the partition's own, by the estimate
	Partition          string // empty = the cluster's own
	OddsOnly, FailFast bool
	Extra              []string          // further options of sbatch
	Beside             map[string][]byte // files that the study names, by those names

	cases      int
	coreHours  float64 // of the whole study at most, by estimate
	limitHours float64 // most time of a task; 0 = not known
	largest    int     // most tasks of an array that the scheduler takes
	memoryMiB  int64
	study      *studies.Study
	job        job
}

// Check reads the options. granted is the memory of a task, in bytes; 0 where it is not given.
func (s *Submission) Check() (granted int64, err error) {
	switch {
	case s.Tasks < 0:
		return 0, fmt.Errorf("--tasks %d: wanted at least 1", s.Tasks)
	case s.CPUs < 1:
		return 0, fmt.Errorf("--cpus %d: wanted at least 1", s.CPUs)
	}
	if s.Time != "" {
		if s.limitHours, err = hours(s.Time); err != nil {
			return 0, fmt.Errorf("--time %w", err)
		}
	}
	if s.Memory != "" {
		if s.memoryMiB, err = mib(s.Memory); err != nil {
			return 0, fmt.Errorf("--mem %w", err)
		}
	}
	return s.memoryMiB << 20, nil
}

// Plan cuts the study into tasks, of which the cluster takes an array of so many at most.
func (s *Submission) Plan(study *studies.Study, largest int) error {
	s.study = study
	e, err := study.Explain(0)
	if err != nil {
		return err
	}
	if s.memoryMiB == 0 {
		s.memoryMiB = memoryMiB(e.MemoryPerRun, e.Memory-e.MemoryPerRun, s.CPUs)
	}
	hours := e.CoreHours
	if s.OddsOnly {
		hours = e.OddsHours
	}
	s.cases, s.coreHours, s.largest = e.Cases, slowest*hours, largest
	tasks := min(s.Tasks, e.Cases)
	switch {
	case s.Tasks == 0:
		tasks = s.tasks()
	case tasks > largest:
		return &Refused{
			fmt.Sprintf("--tasks %d: an array of this cluster has %d tasks at most (MaxArraySize)", tasks, largest),
			fmt.Sprintf("--tasks %d does the same work, more of it in each task", largest),
		}
	}
	return s.makeJob(tasks)
}

// TaskHours is how long one of the tasks of a plan works, by estimate, and at most; late tells
// whether that is more than their time.
func (s *Submission) TaskHours() (estimate, most float64, late bool) {
	most = s.taskHours(s.job.Tasks)
	return most / slowest, most, s.limitHours > 0 && most > s.limitHours
}

// Planned is the number of tasks of a plan.
func (s *Submission) Planned() int { return s.job.Tasks }

// makeJob fills in the job; every path of it is absolute.
func (s *Submission) makeJob(tasks int) (err error) {
	name := filepath.Base(s.Path)
	j := job{Name: strings.TrimSuffix(name, filepath.Ext(name)), Study: filepath.Join(s.Results, s.copied()), Tasks: tasks,
		CPUs: s.CPUs, MemoryMiB: s.memoryMiB, Time: s.Time, Partition: s.Partition, Extra: s.Extra,
		Results: s.Results, Logs: s.Logs()}
	if s.OddsOnly {
		j.Options = append(j.Options, "--odds-only")
	}
	if s.FailFast {
		j.Options = append(j.Options, "--fail-fast")
	}
	if j.Program, err = os.Executable(); err != nil {
		return err
	}
	for _, path := range []*string{&j.Program, &j.Study, &j.Results, &j.Logs} {
		if *path, err = filepath.Abs(*path); err != nil {
			return err
		}
	}
	s.job = j
	return j.check()
}

const (
	arrayScript = "array.sh"
	mergeScript = "merge.sh"
)

// folder is where in the results folder scripts and logs are kept: a folder of its own for each
// version of the study.
func (s *Submission) folder() string {
	h := sha256.New()
	h.Write(s.study.Text)
	for _, name := range slices.Sorted(maps.Keys(s.Beside)) {
		fmt.Fprintf(h, "\x00%s\x00%x", name, sha256.Sum256(s.Beside[name]))
	}
	return "submit/" + hex.EncodeToString(h.Sum(nil)[:6])
}

// Logs is the folder of what the jobs of a plan print.
func (s *Submission) Logs() string { return filepath.Join(s.Results, s.folder()) }

// copied is the study as it was submitted, by its name in the results folder. It has a folder of
// its own with what it names, where nothing is ever executed: neither its name nor theirs can be
// that of a script.
func (s *Submission) copied() string { return s.folder() + "/study/" + filepath.Base(s.Path) }

// Scripts are the two scripts of a plan as text.
func (s *Submission) Scripts() string {
	return fmt.Sprintf("# %s\n%s\n# %s\n%s", filepath.Join(s.Logs(), arrayScript), s.job.array(),
		filepath.Join(s.Logs(), mergeScript), s.job.merge())
}

// HandIn keeps the study as it is now, so that it may be edited while tasks wait, writes the
// scripts, and submits them. Where only the tasks were taken, array is their number.
func (s *Submission) HandIn(to Scheduler, on disk.Disk) (array, merge string, err error) {
	in := s.folder()
	files := map[string][]byte{
		in + "/" + arrayScript: []byte(s.job.array()), in + "/" + mergeScript: []byte(s.job.merge()),
	}
	for name, data := range s.Beside {
		files[in+"/study/"+copyName(name)] = data
	}
	files[s.copied()] = s.study.Text
	for _, name := range slices.Sorted(maps.Keys(files)) {
		if err := disk.Put(on, s.Results, name, disk.Bytes(files[name])); err != nil {
			return "", "", err
		}
	}
	if array, err = to.Submit(filepath.Join(s.job.Logs, arrayScript), ""); err != nil {
		return "", "", err
	}
	merge, err = to.Submit(filepath.Join(s.job.Logs, mergeScript), array)
	return array, merge, err
}
