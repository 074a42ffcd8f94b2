package cluster

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"os/exec"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// Scheduler takes jobs.
type Scheduler interface {
	// Largest is how many tasks an array may have. The error is ErrNone or a Refused.
	Largest() (int, error)
	// Submit hands in a script by its path and returns the number of the job. Where after is not
	// empty, the job starts when the job of that number has ended, however it ended. The error is
	// ErrNone or a Refused.
	Submit(script, after string) (job string, err error)
}

// ErrNone says that there is no scheduler on this machine.
var ErrNone = errors.New("no sbatch on this machine, so there is no Slurm to submit to")

// Refused is what the scheduler did not do.
type Refused struct {
	Said string // its own words
	Next string // what to do
}

// Error tells the words and the next move.
func (r *Refused) Error() string { return "the scheduler refused: " + r.Said + "; " + r.Next }

// Slurm calls the Slurm that the commands on the path talk to.
type Slurm struct{}

// UsualLargest is the largest array of a Slurm that was not configured otherwise (slurm.conf,
// MaxArraySize 1001).
const UsualLargest = 1000

const patience = 20 * time.Second

// Largest asks the controller for MaxArraySize: indices stay below it, and ours begin with 1.
func (Slurm) Largest() (int, error) {
	// A controller that does not answer is asked again and again by scontrol, for a minute or two.
	ctx, stop := context.WithTimeout(context.Background(), patience)
	defer stop()
	answer, err := call(ctx, "scontrol", "show", "config")
	if ctx.Err() != nil {
		return 0, &Refused{fmt.Sprintf("no answer to `scontrol show config` within %.0f s", patience.Seconds()),
			next("contact")}
	}
	if err != nil {
		return 0, err
	}
	found := regexp.MustCompile(`(?m)^MaxArraySize\s*=\s*(\d+)`).FindStringSubmatch(answer)
	if found == nil {
		return UsualLargest, nil
	}
	n, err := strconv.Atoi(found[1])
	if err != nil || n < 2 {
		return 0, &Refused{"MaxArraySize = " + found[1], "this cluster takes no job arrays: start the shards as single " +
			"jobs, each with `onegrain run STUDY.toml --shard K/N`"}
	}
	return n - 1, nil
}

// Submit calls sbatch.
func (Slurm) Submit(script, after string) (string, error) {
	args := []string{"--parsable"}
	if after != "" {
		args = append(args, "--dependency=afterany:"+after, "--kill-on-invalid-dep=yes")
	}
	answer, err := call(context.Background(), "sbatch", append(args, script)...) // however long: it may have been taken
	if err != nil {
		return "", err
	}
	job, _, _ := strings.Cut(strings.TrimSpace(answer), ";") // behind it stands the cluster, where there are several
	if _, err := strconv.ParseUint(job, 10, 64); err != nil {
		return "", &Refused{fmt.Sprintf("sbatch answered %q", answer),
			"wanted the number of a job; look with squeue whether it was taken"}
	}
	return job, nil
}

// call runs a command of Slurm and returns what it prints.
func call(ctx context.Context, name string, args ...string) (string, error) {
	if _, err := exec.LookPath("sbatch"); err != nil {
		return "", ErrNone
	}
	var said bytes.Buffer
	c := exec.CommandContext(ctx, name, args...)
	c.Stderr = &said
	answer, err := c.Output()
	if err == nil {
		return string(answer), nil
	}
	text := regexp.MustCompile(`\s*\n\s*`).ReplaceAllString(strings.TrimSpace(said.String()), "; ")
	text = cmp.Or(text, err.Error())
	return "", &Refused{text, next(text)}
}

// next is what to do about words of Slurm.
func next(said string) string {
	for _, known := range [][2]string{
		{"partition", "`sinfo` lists the partitions and their limits; choose one with --partition"},
		{"time limit", "`sinfo` lists the limits; choose another --time or --partition"},
		{"job array", "fewer --tasks do the same work, with more of it in each"},
		{"memory", "ask for less with --mem, or for another --partition"},
		{"node configuration", "ask for less with --mem or --cpus, or for another --partition"},
		{"account", "name one after --, as in `-- --account=NAME`"},
		{"option", "the options after -- must be those of sbatch; see `man sbatch`"},
		{"contact", "its controller does not answer: is SLURM_CONF right, and does `sinfo` work? The same command submits " +
			"later"},
	} {
		if strings.Contains(strings.ToLower(said), known[0]) {
			return known[1]
		}
	}
	return "correct that and submit again, or look at the scripts with --dry-run"
}
