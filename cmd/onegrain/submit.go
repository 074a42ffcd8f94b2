package main

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"onegrain/studies"
	"onegrain/studies/cluster"
	"onegrain/studies/disk"
	"onegrain/studies/run"
)

// slowest is how many times as long as estimated a task is given: the estimate holds within a factor of two, and the processors of a
// cluster are often slower and shared. Memory has its factor in cluster.MemoryMiB.
const slowest = 3

// submitting is what the options of `submit` say.
type submitting struct {
	dir, limit, memory, partition string
	tasks, cpus                   int
	oddsOnly, failFast, dry       bool
	extra                         []string // behind --

	path   string
	s      streams
	to     cluster.Scheduler
	beside map[string][]byte // files that the study names, by those names
}

func submitCommand(s streams) *cobra.Command {
	r := submitting{s: s, to: cluster.Slurm{}, beside: map[string][]byte{}}
	c := command("submit STUDY.toml", func(_ *cobra.Command, args []string) error {
		r.path = args[0]
		return r.submit()
	})
	c.Args = func(c *cobra.Command, args []string) error {
		if n := c.ArgsLenAtDash(); n >= 0 {
			args, r.extra = args[:n], args[n:]
		}
		return exactly("STUDY.toml")(c, args)
	}
	f := c.Flags()
	f.StringVar(&r.dir, "out", "", "`folder` for the results (default results/NAME for NAME.toml)")
	f.IntVar(&r.tasks, "tasks", 0, "`number` of tasks of the array (default: by the estimate of the study's work)")
	f.IntVar(&r.cpus, "cpus", 1, "`number` of runs at a time in each task")
	f.StringVar(&r.limit, "time", "", "most `time` of a task, as Slurm writes it: 90 (minutes), 2:30:00, 1-12 (days-hours)")
	f.StringVar(&r.memory, "mem", "", "`memory` of a task, as 800M or 4G (default: by the estimate)")
	f.StringVar(&r.partition, "partition", "", "`name` of the partition")
	f.BoolVar(&r.oddsOnly, "odds-only", false, "exact odds alone, one run without strays a case (16 to 64 with placing scatter)")
	f.BoolVar(&r.failFast, "fail-fast", false, "stop at the first case that fails")
	f.BoolVar(&r.dry, "dry-run", false, "print the scripts and submit nothing")
	return c
}

// submit hands a study to the cluster, or prints what it would hand in.
func (r *submitting) submit() error {
	if r.dir == "" {
		r.dir = filepath.Join("results", studyName(r.path))
	}
	load, memoryMiB, err := r.wants()
	if err != nil {
		return usage(err)
	}
	study, err := r.read(memoryMiB)
	if err != nil {
		return err
	}
	e, err := study.Explain(0)
	if err != nil {
		return err
	}
	if memoryMiB == 0 {
		memoryMiB = cluster.MemoryMiB(e.MemoryPerRun, e.Memory-e.MemoryPerRun, r.cpus)
	}
	hours := e.CoreHours
	if r.oddsOnly {
		hours = e.OddsHours
	}
	load.Cases, load.CoreHours = e.Cases, slowest*hours
	if load.Largest, err = r.largest(); err != nil {
		return err
	}
	tasks, err := r.split(load)
	if err != nil {
		return err
	}
	job, err := r.job(study, tasks, memoryMiB)
	if err != nil {
		return err
	}
	r.s.say("%s in %s of %s each, by estimate", plural(e.Cases, "case"), plural(tasks, "task"), hoursSpan(load.TaskHours(tasks)/slowest, load.TaskHours(tasks)))
	if load.LimitHours > 0 && load.TaskHours(tasks) > load.LimitHours {
		r.s.say("that may not be done within --time %s: what is finished is kept, and submitting again goes on", r.limit)
	}
	if r.dry {
		_, err := fmt.Fprintf(r.s.out, "# %s\n%s\n# %s\n%s", filepath.Join(r.dir, r.folder(study), arrayScript), job.Array(), filepath.Join(r.dir, r.folder(study), mergeScript), job.Merge())
		return err
	}
	return r.hand(study, job)
}

// wants reads the options that limit a task. memoryMiB is 0 where --mem is not given.
func (r *submitting) wants() (load cluster.Load, memoryMiB int64, err error) {
	load.CPUs = r.cpus
	switch {
	case r.tasks < 0:
		return load, 0, fmt.Errorf("--tasks %d: wanted at least 1", r.tasks)
	case r.cpus < 1:
		return load, 0, fmt.Errorf("--cpus %d: wanted at least 1", r.cpus)
	}
	if r.limit != "" {
		if load.LimitHours, err = cluster.Hours(r.limit); err != nil {
			return load, 0, fmt.Errorf("--time %w", err)
		}
	}
	if r.memory != "" {
		if memoryMiB, err = cluster.MiB(r.memory); err != nil {
			return load, 0, fmt.Errorf("--mem %w", err)
		}
	}
	return load, memoryMiB, nil
}

// read reads the study as a task of that memory would, and keeps the files that it names.
func (r *submitting) read(memoryMiB int64) (*studies.Study, error) {
	text, err := os.ReadFile(r.path)
	if err != nil {
		return nil, usage(cannotRead(r.path, err))
	}
	return studies.Load(r.path, text, func(name string) ([]byte, error) {
		data, err := besides(r.path)(name)
		if err == nil {
			r.beside[name] = data
		}
		return data, err
	}, granted(memoryMiB))
}

// granted is the memory that the runs of a task have, in bytes; 0 = any.
func granted(memoryMiB int64) int64 {
	if memoryMiB == 0 {
		return 0
	}
	return withoutProgram(memoryMiB << 20)
}

// largest is the largest array of the cluster. What is only to be looked at needs no cluster.
func (r *submitting) largest() (int, error) {
	n, err := r.to.Largest()
	switch {
	case err == nil:
		return n, nil
	case r.dry:
		r.s.say("no scheduler to ask for its largest array: taken as %d", cluster.UsualLargest)
		return cluster.UsualLargest, nil
	case errors.Is(err, cluster.ErrNone):
		return 0, usage(fmt.Errorf("%w; `--dry-run` prints the scripts, and `onegrain run %s --shard K/N` does part K of N on any machine", err, r.path))
	}
	return 0, err
}

// split is the number of tasks, as asked for or as the load wants.
func (r *submitting) split(load cluster.Load) (int, error) {
	n := min(r.tasks, load.Cases)
	if n < r.tasks {
		r.s.say("--tasks %d: there are %s only, so no more tasks than that", r.tasks, plural(load.Cases, "case"))
	}
	switch {
	case r.tasks == 0:
		return load.Tasks(), nil
	case n > load.Largest:
		return 0, &cluster.Refused{Said: fmt.Sprintf("--tasks %d: an array of this cluster has %d tasks at most (MaxArraySize)", n, load.Largest),
			Next: fmt.Sprintf("--tasks %d does the same work, more of it in each task", load.Largest)}
	}
	return n, nil
}

const (
	arrayScript = "array.sh"
	mergeScript = "merge.sh"
)

// folder is where in the results folder scripts and logs are kept: a folder of its own for each version of the study.
func (r *submitting) folder(study *studies.Study) string {
	h := sha256.New()
	h.Write(study.Text)
	for _, name := range slices.Sorted(maps.Keys(r.beside)) {
		fmt.Fprintf(h, "\x00%s\x00%x", name, sha256.Sum256(r.beside[name]))
	}
	return "submit/" + hex.EncodeToString(h.Sum(nil)[:6])
}

// copyOf is the study as it was "job %s: %s; job %s merges when they have ended; `squeue -j %s` shows them, they print to %s", by its name in the results folder. It has a folder of its own with what it names, where
// nothing is ever executed: neither its name nor theirs can be that of a script.
func (r *submitting) copyOf(study *studies.Study) string {
	return r.folder(study) + "/study/" + filepath.Base(r.path)
}

func (r *submitting) job(study *studies.Study, tasks int, memoryMiB int64) (j cluster.Job, err error) {
	j = cluster.Job{Name: studyName(r.path), Study: filepath.Join(r.dir, r.copyOf(study)), Tasks: tasks, CPUs: r.cpus, MemoryMiB: memoryMiB, Time: r.limit, Partition: r.partition, Extra: r.extra}
	if r.oddsOnly {
		j.Options = append(j.Options, "--odds-only")
	}
	if r.failFast {
		j.Options = append(j.Options, "--fail-fast")
	}
	if j.Program, err = os.Executable(); err != nil {
		return j, err
	}
	j.Results, j.Logs = r.dir, filepath.Join(r.dir, r.folder(study))
	for _, path := range []*string{&j.Program, &j.Study, &j.Results, &j.Logs} {
		if *path, err = filepath.Abs(*path); err != nil {
			return j, err
		}
	}
	return j, usage(j.Check())
}

// hand writes study and scripts into the results folder and submits them.
func (r *submitting) hand(study *studies.Study, job cluster.Job) error {
	results, err := (&running{dir: r.dir, path: r.path, s: r.s}).open(study)
	if err != nil {
		return err
	}
	moved, err := run.Settle(study, results, runtime.GOMAXPROCS(0))
	if err != nil {
		return err
	}
	tellMoved(r.s, r.dir, moved)
	if err := results.Seal(time.Now().UTC().Truncate(time.Second)); err != nil {
		return err
	}
	if err := r.write(study, job); err != nil {
		return err
	}
	array, err := r.to.Submit(filepath.Join(job.Logs, arrayScript), "")
	if err != nil {
		return err
	}
	merge, err := r.to.Submit(filepath.Join(job.Logs, mergeScript), array)
	if err != nil {
		return fmt.Errorf("job %s, the tasks, is submitted, but not the job that merges: %w; when the tasks have ended, do `onegrain merge %s`", array, err, r.dir)
	}
	r.s.say("job %s: %s; job %s merges when they have ended; `squeue -j %s` shows them, they print to %s", array, plural(job.Tasks, "task"), merge, array, filepath.Join(r.dir, r.folder(study), "*.log"))
	_, err = fmt.Fprintf(r.s.out, "%s\n%s\n", array, merge)
	return err
}

// write keeps the study as it is now, so that it may be edited while tasks wait, and the scripts.
func (r *submitting) write(study *studies.Study, job cluster.Job) error {
	in := r.folder(study)
	files := map[string][]byte{in + "/" + arrayScript: []byte(job.Array()), in + "/" + mergeScript: []byte(job.Merge())}
	for name, data := range r.beside {
		files[in+"/study/"+keptName(name)] = data
	}
	files[r.copyOf(study)] = study.Text
	for _, name := range slices.Sorted(maps.Keys(files)) {
		if err := disk.Put(r.s.on(), r.dir, name, func(w io.Writer) error {
			_, err := w.Write(files[name])
			return err
		}); err != nil {
			return err
		}
	}
	return nil
}
