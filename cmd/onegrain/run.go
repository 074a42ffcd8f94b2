package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"onegrain/analysis/gallery"
	"onegrain/analysis/plain"
	"onegrain/studies"
	"onegrain/studies/run"
	"onegrain/studies/table"
)

// running is what the options of `run` say.
type running struct {
	run.Runner
	dir, shard, path string
	chance           float64
	s                streams
}

func runCommand(s streams) *cobra.Command {
	r := running{s: s}
	c := command("run STUDY.toml", func(c *cobra.Command, args []string) error {
		r.path = args[0]
		return r.run(c.Context())
	})
	f := c.Flags()
	outFlag(c, &r.dir)
	f.IntVarP(&r.Workers, "workers", "w", runtime.GOMAXPROCS(0),
		"`number` of runs at the same time (default: the number of processors)")
	f.StringVar(&r.shard, "shard", "", "do only part `K/N` of the cases, such as 2/5")
	chanceFlag(c, &r.chance)
	oddsFlags(c, &r.OddsOnly, &r.FailFast)
	return c
}

// check completes the options.
func (r *running) check() error {
	if err := likely(r.chance); err != nil {
		return err
	}
	if r.Workers < 1 {
		return usage(fmt.Errorf("--workers %d: wanted at least 1", r.Workers))
	}
	if r.dir == "" {
		r.dir = filepath.Join("results", studyName(r.path))
	}
	if r.shard == "" {
		return nil
	}
	k, n, ok := strings.Cut(r.shard, "/")
	var errK, errN error
	r.Shard, errK = strconv.Atoi(k)
	r.Shards, errN = strconv.Atoi(n)
	if !ok || errK != nil || errN != nil || r.Shard < 1 || r.Shard > r.Shards {
		return usage(fmt.Errorf("--shard %q: wanted K/N with 1 ≤ K ≤ N, as 2/5", r.shard))
	}
	return nil
}

// run reads the study, runs what is not done yet, and prints the headline table.
func (r *running) run(parent context.Context) error {
	if err := r.check(); err != nil {
		return err
	}
	r.s.say("reading %s", r.path)
	memory := run.MemoryThere()
	study, err := loadStudy(r.path, memory, nil)
	if err != nil {
		return err
	}
	ctx, stop, caught := untilSignal(parent, func(sig syscall.Signal) {
		r.s.say("%s: stopping; runs that end within %.0f s are kept as well; Ctrl-C once more leaves at once",
			signalName(sig), grace.Seconds())
	})
	defer stop()
	folder, err := r.open(study)
	if err != nil {
		return err
	}
	p := newProgress(r.s, r.most(study), time.Now())
	r.Study, r.Folder, r.Memory, r.Command, r.Field = study, folder, memory, r.reproduce, gallery.VolumeOf
	r.Recalled = func(sum run.Summary) { r.recalled(study, sum) }
	r.Watch = func(sum run.Summary) { p.note(sum.Runs+sum.Failed, sum.Skipped, time.Now()) }
	tidy := p.watch()
	sum, err := inTime(ctx, &r.Runner)
	tidy()
	sealed := folder.Seal(time.Now().UTC().Truncate(time.Second))
	if sealed != nil && (err == nil || errors.Is(err, context.Canceled)) {
		err = sealed
	}
	return r.end(sum, err, caught())
}

// recalled says what need not be run again, and why, and what was moved out of the folder.
func (r *running) recalled(study *studies.Study, sum run.Summary) {
	sayMoved(r.s, r.dir, sum.Moved)
	if sum.Begun > 0 {
		r.s.say("%s holds a part of %s: going on with what is missing", r.dir, plain.Plural(sum.Begun, "case"))
	}
	if sum.Reused > 0 {
		r.s.say("reusing %d of %s: same physics, model version %s", sum.Reused,
			plain.Plural(r.cases(study), "case"), studies.ModelVersion)
	}
}

// sayMoved says in one line what was of another version.
func sayMoved(s streams, dir string, moved table.Moved) {
	if moved.Cases == 0 {
		return
	}
	to := make([]string, len(moved.To))
	for i, name := range moved.To {
		to[i] = filepath.Join(dir, name)
	}
	s.say("%s held %s with %s of another version of the study or of the model: moved to %s", dir,
		plain.Plural(moved.Cases, "case"), plain.Plural(moved.Runs, "run"), strings.Join(to, " and "))
}

// cases is how many cases this command has to do with.
func (r *running) cases(study *studies.Study) int {
	if r.Shards > 1 {
		return (study.Cases() - r.Shard + r.Shards) / r.Shards
	}
	return study.Cases()
}

// most is how many runs this command does at most.
func (r *running) most(study *studies.Study) int {
	cases := r.cases(study)
	if r.OddsOnly {
		return cases * study.Placings()
	}
	return cases * study.Replicates
}

// open makes the results folder, or goes on with the one that is there.
func (r *running) open(study *studies.Study) (*table.Folder, error) {
	folder, err := table.Create(r.dir, study.Text, studies.Draws, table.Provenance{
		Version: version(), ModelVersion: studies.ModelVersion, Command: commandLine(os.Args),
		Shard: r.shard, Start: time.Now().UTC().Truncate(time.Millisecond),
	}, r.s.disk)
	switch {
	case err == nil:
		if err := r.lost(folder); err != nil {
			return nil, err
		}
		r.s.say("%s, at most %s, into %s", plain.Plural(study.Cases(), "case"), plain.Plural(r.most(study), "run"), r.dir)
	case !isStorage(err) && codeOf(err) != exitCorrupt:
		err = usage(err) // a folder with something else in it
	}
	return folder, err
}

// lost tells of files that are gone: what they held is run again.
func (r *running) lost(folder *table.Folder) error {
	gone, err := folder.Missing()
	if len(gone) > 0 {
		r.s.say("%s of the manifest missing, for example %s: what is lost is run again", plain.Plural(len(gone), "file"),
			filepath.Join(r.dir, gone[0]))
	}
	return err
}

// commandLine is the command as it can be given to a shell again.
func commandLine(args []string) string {
	quoted := []string{"onegrain"}
	for _, a := range args[1:] {
		if a == "" || strings.ContainsAny(a, " \t\n'\"\\$&|;<>()*?[]#~`!{}") {
			a = "'" + strings.ReplaceAll(a, "'", `'\''`) + "'"
		}
		quoted = append(quoted, a)
	}
	return strings.Join(quoted, " ")
}

// reproduce is the command that runs one replicate of one case again.
func (r *running) reproduce(p studies.Planned, replicate int) string {
	return commandLine([]string{"", "draw", r.path, "--case", strconv.Itoa(p.Index + 1),
		"--replicate", strconv.Itoa(max(1, replicate))})
}

// end says how it went, and prints the headline table unless something stopped the study.
func (r *running) end(sum run.Summary, err error, signal int) error {
	code := exitStopped
	if signal > 0 && signal != int(warning) { // the scheduler's warning is no end by signal
		code = exitSignal + signal
	}
	failures := filepath.Join(r.dir, "failures.jsonl")
	switch {
	case err != nil && !errors.Is(err, context.Canceled):
		return err
	case err != nil:
		return failure(code, "stopped after %s; what is finished is kept, and the same command continues: %s",
			plain.Plural(sum.Runs, "run"), commandLine(os.Args))
	case sum.Failed > 0 && r.FailFast:
		return failure(exitStopped, "stopped at the first failure, see %s; the same command continues: %s", failures,
			commandLine(os.Args))
	}
	if r.OddsOnly {
		r.s.say("exact odds of %s, in %s", plain.Plural(sum.Cases+sum.Reused, "case"), r.dir)
	} else {
		r.s.say("%s done, %d done before, in %s", plain.Plural(sum.Runs, "run"), sum.Skipped, r.dir)
	}
	shown := show(r.s, r.dir, r.chance, false)
	if r.Shards > 1 && shown == nil {
		r.s.say("shard %s: of other shards the table shows what they have finished so far", r.shard)
	} else if r.Shards > 1 && sum.Failed == 0 && codeOf(shown) == exitStopped {
		r.s.say("shard %s: it has no case of this study", r.shard)
		return nil
	}
	// A shard with failures has no row of any case yet.
	if sum.Failed > 0 && (shown == nil || codeOf(shown) == exitStopped) {
		return failure(exitSomeFailed, "%s failed: each line of %s names one, with the command that repeats it",
			plain.Plural(sum.Failed, "run"), failures)
	}
	return shown
}
