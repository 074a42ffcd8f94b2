package cluster

import (
	_ "embed" // the text of a job
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"text/template"
)

//go:embed job.txt
var jobText string

// warnS is how long before the end of its time a task is warned, in seconds. The program needs 5 s
// to keep what it has; the scheduler, which looks every 30 s or 60 s, may warn that much earlier,
// so more would take much from short tasks.
const warnS = 10

// mergeMiB is what merging needs at least, whatever the runs need: it holds a table at a time.
const mergeMiB = 2048

// job is a study as the scheduler gets it. Paths are absolute and mean the same on every node.
type job struct {
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
func (j job) array() string { return j.script("task-%A_%a.log") }

// merge is the script of the job that merges the results once no task runs any more.
func (j job) merge() string {
	j.Name += "-merge"
	j.Tasks, j.MemoryMiB, j.Extra = 0, max(j.MemoryMiB, mergeMiB), withoutArray(j.Extra)
	return j.script("merge-%j.log")
}

// script fills in the text of a job, which prints to a file of the folder Logs; in such names the
// scheduler gives % a meaning. Extra options stand last, where they override the others.
func (j job) script(log string) string {
	t := template.Must(template.New("").Funcs(template.FuncMap{
		"shell": shellWord, "option": func(parts ...string) string { return optionWord(strings.Join(parts, "")) },
	}).Parse(jobText))
	var b strings.Builder
	if err := t.Execute(&b, struct {
		job
		Output string
		WarnS  int
	}{j, strings.ReplaceAll(j.Logs, "%", "%%") + string(filepath.Separator) + log, warnS}); err != nil {
		panic(err) // a fault of the text, which a test fills in
	}
	return b.String()
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
func (j job) check() error {
	for _, text := range slices.Concat([]string{j.Name, j.Program, j.Study, j.Results, j.Logs, j.Time, j.Partition},
		j.Options, j.Extra) {
		if strings.ContainsAny(text, "\n\r\x00") {
			return fmt.Errorf("%q: a line break cannot be part of a script of the scheduler; rename it or leave it out", text)
		}
	}
	return nil
}
