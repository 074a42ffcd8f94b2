package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"runtime"
	"time"

	"github.com/spf13/cobra"

	"onegrain/analysis/plain"
	"onegrain/studies"
	"onegrain/studies/cluster"
	"onegrain/studies/run"
)

// submitting is what the options of `submit` say.
type submitting struct {
	cluster.Submission
	dry bool
	s   streams
	to  cluster.Scheduler
}

func submitCommand(s streams) *cobra.Command {
	r := submitting{s: s, to: cluster.Slurm{}}
	c := command("submit STUDY.toml", func(_ *cobra.Command, args []string) error {
		r.Path = args[0]
		return r.submit()
	})
	c.Args = func(c *cobra.Command, args []string) error {
		if n := c.ArgsLenAtDash(); n >= 0 {
			args, r.Extra = args[:n], args[n:]
		}
		return exactly("STUDY.toml")(c, args)
	}
	f := c.Flags()
	outFlag(c, &r.Results)
	f.IntVar(&r.Tasks, "tasks", 0, "`number` of tasks of the array (default: by the estimate of the study's work)")
	f.IntVar(&r.CPUs, "cpus", 1, "`number` of runs at the same time in each task")
	f.StringVar(&r.Time, "time", "",
		"longest `time` of a task, as Slurm writes it: 90 (minutes), 2:30:00, 1-12 (days-hours)")
	f.StringVar(&r.Memory, "mem", "", "`memory` of a task, as 800M or 4G (default: by the estimate)")
	f.StringVar(&r.Partition, "partition", "", "`name` of the partition")
	oddsFlags(c, &r.OddsOnly, &r.FailFast)
	f.BoolVar(&r.dry, "dry-run", false, "print the scripts and submit nothing")
	return c
}

// submit hands a study to the cluster, or prints what it would hand in.
func (r *submitting) submit() error {
	if r.Results == "" {
		r.Results = filepath.Join("results", studyName(r.Path))
	}
	memory, err := r.Check()
	if err != nil {
		return usage(err)
	}
	if memory > 0 {
		memory = run.WithoutProgram(memory)
	}
	r.Beside = map[string][]byte{}
	study, err := loadStudy(r.Path, memory, r.Beside)
	if err != nil {
		return err
	}
	largest, err := r.largest()
	if err != nil {
		return err
	}
	if r.Tasks > study.Cases() {
		r.s.say("--tasks %d: there are only %s, so no more tasks than that", r.Tasks, plain.Plural(study.Cases(), "case"))
	}
	if err := r.Plan(study, largest); err != nil {
		return misused(err)
	}
	estimate, most, late := r.TaskHours()
	r.s.say("%s in %s of %s each, by estimate", plain.Plural(study.Cases(), "case"),
		plain.Plural(r.Planned(), "task"), plain.HoursSpan(estimate, most))
	if late {
		r.s.say("that may not be done within --time %s: what is finished is kept, and submitting again continues", r.Time)
	}
	if r.dry {
		_, err := fmt.Fprint(r.s.out, r.Scripts())
		return err
	}
	return r.handIn(study)
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
		return 0, usage(fmt.Errorf("%w; `--dry-run` prints the scripts, and `onegrain run %s --shard K/N` does part K of N "+
			"on any machine", err, r.Path))
	}
	return 0, err
}

// handIn makes the results folder ready and submits the two jobs.
func (r *submitting) handIn(study *studies.Study) error {
	results, err := (&running{dir: r.Results, path: r.Path, s: r.s}).open(study)
	if err != nil {
		return err
	}
	moved, err := run.Settle(study, results, runtime.GOMAXPROCS(0))
	if err != nil {
		return err
	}
	sayMoved(r.s, r.Results, moved)
	if err := results.Seal(time.Now().UTC().Truncate(time.Second)); err != nil {
		return err
	}
	array, merge, err := r.HandIn(r.to, r.s.on())
	if err != nil && array != "" {
		err = fmt.Errorf("job %s, the tasks, is submitted, but not the job that merges: %w; when the tasks have ended, do "+
			"`onegrain merge %s`", array, err, r.Results)
	}
	if err != nil {
		return err
	}
	r.s.say("job %s: %s; job %s merges when they have ended; `squeue -j %[1]s` shows them, they print to %s", array,
		plain.Plural(r.Planned(), "task"), merge, filepath.Join(r.Logs(), "*.log"))
	_, err = fmt.Fprintf(r.s.out, "%s\n%s\n", array, merge)
	return err
}
