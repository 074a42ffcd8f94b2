package cluster

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
)

// warnS is how long before the end of its time a task is warned, in seconds. The program needs 5 s
// to keep what it has; the scheduler, which looks every 30 s or 60 s, may warn that much earlier,
// so more would take much from short tasks.
const warnS = 10

// mergeMiB is what merging needs at least, whatever the runs need: it holds a table at a time.
const mergeMiB = 2048

// Job is a study as the scheduler gets it. Paths are absolute and mean the same on every node.
type Job struct {
	Name      string   // of the study
	Program   string   // path of onegrain
	Study     string   // path of the study file, which must stay as it is until the last task has begun
	Results   string   // folder
	Logs      string   // folder of what tasks and merge job print
	Options   []string // further options of `onegrain run`
	Tasks     int      // 1 … Tasks are the indices of the array
	CPUs      int      // of a task: runs at a time
	MemoryMiB int64    // of a task
	Time      string   // most of a task, as Slurm writes it; empty = the partition's own
	Partition string   // empty = the cluster's own
	Extra     []string // further options of sbatch, as they would be given to it
}

// array is the script of the array of tasks.
func (j Job) array() string {
	lines := []string{"--job-name=" + j.Name, fmt.Sprintf("--array=1-%d", j.Tasks), j.log("task-%A_%a.log"),
		fmt.Sprintf("--cpus-per-task=%d", j.CPUs), fmt.Sprintf("--signal=B:USR1@%d", warnS)}
	run := append([]string{"run", j.Study, "--out", j.Results}, j.Options...)
	return script(append(lines, j.both(j.MemoryMiB)...), j.Extra, []string{
		"One task of " + fmt.Sprint(j.Tasks) + ": a shard of the study. What is finished is skipped, so any task may be " +
			"given again.",
		"exec puts the program in the place of this shell, so that the scheduler's signals reach it and it keeps what it " +
			"has.",
	}, j.command(run)+` --workers "${SLURM_CPUS_PER_TASK:-1}" --shard "$SLURM_ARRAY_TASK_ID/`+fmt.Sprint(j.Tasks)+`"`)
}

// merge is the script of the job that merges the results once no task runs any more.
func (j Job) merge() string {
	lines := []string{"--job-name=" + j.Name + "-merge", j.log("merge-%j.log")}
	return script(append(lines, j.both(max(j.MemoryMiB, mergeMiB))...), withoutArray(j.Extra), []string{
		"Runs after the last task, however the tasks have ended; says which cases are missing.",
	}, j.command([]string{"merge", j.Results}))
}

// both is what the two scripts ask for alike.
func (j Job) both(memoryMiB int64) []string {
	lines := []string{"--open-mode=append", fmt.Sprintf("--mem=%dM", memoryMiB)}
	if j.Time != "" {
		lines = append(lines, "--time="+j.Time)
	}
	if j.Partition != "" {
		lines = append(lines, "--partition="+j.Partition)
	}
	return lines
}

// log is where a job prints; in such names the scheduler gives % a meaning.
func (j Job) log(name string) string {
	return "--output=" + strings.ReplaceAll(j.Logs, "%", "%%") + string(filepath.Separator) + name
}

func (j Job) command(args []string) string {
	words := []string{"exec", shellWord(j.Program)}
	for _, a := range args {
		words = append(words, shellWord(a))
	}
	return strings.Join(words, " ")
}

// script puts a job together. Extra options stand last, where they override the others.
func script(options, extra, remarks []string, command string) string {
	var b strings.Builder
	b.WriteString("#!/bin/sh\n")
	for _, o := range options {
		b.WriteString("#SBATCH " + optionWord(o) + "\n")
	}
	if len(extra) > 0 {
		words := make([]string, len(extra))
		for i, o := range extra {
			words[i] = optionWord(o)
		}
		b.WriteString("#SBATCH " + strings.Join(words, " ") + "\n")
	}
	for _, r := range remarks {
		b.WriteString("# " + r + "\n")
	}
	return b.String() + command + "\n"
}

// withoutArray leaves out the option that makes a job an array, as --array=1-9%2 or -a 1-9.
func withoutArray(extra []string) (rest []string) {
	for i := 0; i < len(extra); i++ {
		switch o := extra[i]; {
		case o == "--array" || o == "-a":
			i++
		case strings.HasPrefix(o, "--array=") || strings.HasPrefix(o, "-a"):
		default:
			rest = append(rest, o)
		}
	}
	return rest
}

const plainLetters = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_@%+=:,./-"

func plainWord(text string) bool {
	return text != "" && strings.Trim(text, plainLetters) == ""
}

// shellWord is a text as one word of a shell.
func shellWord(text string) string {
	if plainWord(text) {
		return text
	}
	return "'" + strings.ReplaceAll(text, "'", `'\''`) + "'"
}

// optionWord is a text as one word of an #SBATCH line, where only quotes protect blanks and a
// backslash what follows it.
func optionWord(text string) string {
	if plainWord(text) {
		return text
	}
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(text) + `"`
}

// check refuses what cannot stand in a script: every text has to stay on its line.
func (j Job) check() error {
	for _, text := range slices.Concat([]string{j.Name, j.Program, j.Study, j.Results, j.Logs, j.Time, j.Partition},
		j.Options, j.Extra) {
		if strings.ContainsAny(text, "\n\r\x00") {
			return fmt.Errorf("%q: a line break cannot stand in a script of the scheduler; rename it or leave it out", text)
		}
	}
	return nil
}
