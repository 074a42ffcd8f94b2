package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"onegrain/analysis/window"
)

// The texts of help. Examples stand first in every page.
const helpTemplate = `{{if .HasExample}}{{.Example}}

{{end}}{{with or .Long .Short}}{{. | trimTrailingWhitespaces}}
{{end}}{{if .Runnable}}
Usage: {{if .HasAvailableSubCommands}}{{.CommandPath}} COMMAND{{else}}{{.UseLine}}{{end}}
{{end}}{{if .HasAvailableSubCommands}}
Commands:
{{range .Commands}}{{if .IsAvailableCommand}}  {{rpad .Name .NamePadding}}  {{.Short}}
{{end}}{{end}}{{end}}{{if .HasHelpSubCommands}}
Pages of ` + "`onegrain help PAGE`" + `:
{{range .Commands}}{{if .IsAdditionalHelpTopicCommand}}  {{rpad .Name .NamePadding}}  {{.Short}}
{{end}}{{end}}{{end}}{{if .HasAvailableLocalFlags}}
Options:
{{.LocalFlags.FlagUsages | trimTrailingWhitespaces}}
{{end}}`

const (
	exampleRoot = `  onegrain example puck-window > puck.toml    # a study to start from
  onegrain check puck.toml                    # what it would do, and whether it can work
  onegrain run puck.toml                      # every case, many runs each; ends with the headline table
  onegrain show results/puck                  # the headline table again
  onegrain report results/puck                # all of it as one page to be read at the furnace
  onegrain draw puck.toml --case 3            # pictures of one run
  onegrain fit growth runs.csv                # a growth law from your own furnace runs`
	shortRoot = "simulate melt-textured crystals before the furnace is lit"
	longRoot  = `onegrain simulates top-seeded melt growth of (RE)Ba2Cu3O7 bodies: at which undercooling, cooled how fast, with which
seeds, will this body become one grain, and how large will the uncontaminated grain be?

Exit codes: 0 done, 1 internal error, 2 wrong usage or invalid study, 3 finished but some cases failed, 4 stopped early and
resumable with the same command, 5 storage, 6 corrupt data found, 7 refused by the scheduler, 130 and 143 ended by Ctrl-C and SIGTERM.`

	exampleRun = `  onegrain run puck.toml                          # into results/puck
  onegrain run puck.toml --out /scratch/puck -w 8 # elsewhere, eight runs at a time
  onegrain run puck.toml --odds-only              # exact odds alone, one run a case: seconds instead of minutes
  onegrain run puck.toml --shard 2/5              # the second of five parts, each for a machine of its own`
	shortRun = "run every case of a study; resumable; ends with the headline table"
	longRun  = `Runs every case and replicate of a study, several at a time, and writes the results as Parquet tables. What is finished
is never run again: after Ctrl-C, a kill or a power cut the same command goes on where it stopped. A case that fails is written to
failures.jsonl with the command that reproduces it, and the others go on. Where seeds are placed with scatter the exact chance is
the mean over placings: those of the runs, or with --odds-only as many as replicates, 16 at least and 64 at most.`

	exampleCheck = `  onegrain check puck.toml
  onegrain check puck.toml --case 12 --json`
	shortCheck = "read, validate and explain a study without running it"
	longCheck  = `Says everything that is wrong with a study at once, each with file, line, key, value and what was wanted. If nothing is:
cases, cells, memory, time and files; the schedule with temperature, undercooling and grown length; how far the seeds stay from
dissolving; and the odds of the first and the last case, with placing scatter as means over placings, of which it says the number.
Warnings, a sentence each, name what no furnace run means. Time holds within a factor of two, memory within one and a half.`

	exampleShow = `  onegrain show results/puck
  onegrain show results/puck --json | jq '.[] | select(.single_grain_probability_exact > 0.9)'`
	shortShow = "print the headline table of results again, from the files"
	longShow  = `Prints the headline table that ` + "`onegrain run`" + ` ends with: for each case the share of single grains with its 95 % interval, the
exact chance, the expected stray grains, the largest uncontaminated grain, and the time until the body is solid. A row is the mean over
what is not known (role = "unknown"). The star stands on the best case: ` + window.Rule + "."

	exampleReport = `  onegrain report results/puck                          # results/puck/report.html
  onegrain report results/puck --chance 0.99 --out page  # for another chance, into another folder
  onegrain report results/puck --only turn=parallel      # of the cases with this value alone
  onegrain report results/puck --json | jq -r .window.sentence`
	shortReport = "make one page of results that someone with a furnace reads without help"
	longReport  = `Writes report.html, one file that needs nothing else: where a single grain is likely enough, how large the piece is, what it
costs in hours and how far to trust it; the window and a table of all cases; programme and pictures of the best case, one run of which
is grown again; domains, boundaries and trapped field; which input matters; failures, provenance, limits, evidence and hazards. The
figures lie beside it as PNG and SVG, in the folder report-figures.`

	exampleAdvise = `  onegrain advise puck.toml                                # the furnace programme, as a block for the study
  onegrain advise puck.toml --chance 0.99 --tolerance 2     # likelier, and robust to 2 K
  onegrain advise puck.toml --deepest 20 --down 120         # never beyond 20 K, cooled to the first stage at 120 K/h
  onegrain advise puck.toml --json | jq '.stages'`
	shortAdvise = "design the furnace programme for a wanted chance of a single grain"
	longAdvise  = `Keeps the melting of one case of a study and designs the cooling after it: the quickest programme that has the wanted chance of no stray
until the body is full, even where the true undercooling is --tolerance more than the programme says. It begins with one stage of slow cooling or
a hold, and adds stages for as long as each saves one hour in a hundred. What is told of it in the end was computed by runs of the case
without strays, as the exact odds are.

On stdout comes the [schedule] of a study, with what is known of it as comments: put it in the place of the study's own, and take out each
[[vary]] of its stages. The programme goes on for a tenth of the growth time after the body should be full, and for as long as a body with
--tolerance less undercooling needs.

The usual tolerance, 1 K, is that of a thermocouple of type S, class 1, up to 1100 °C (IEC 60584-1). The peritectic temperature of a melt is often
known less well, and a degree may decide: look at the lines above and below.`

	exampleCompare = `  onegrain compare results/puck results/puck-finer
  onegrain compare puck.toml puck-finer.toml                  # what the studies say, without results
  onegrain compare results/puck results/again > /dev/null && echo the same
  onegrain compare results/puck results/puck-finer --json | jq '.in_both[] | select(.counts_differ)'`
	shortCompare = "tell what differs between two studies"
	longCompare  = `Compares two results folders or two study files: the keys that differ (with what materials and defaults bring; comments do not
count), cases that only one has, and of the cases of both the counted share of single grains with its 95 % interval and the
p-value of Fisher's exact test, the exact chance, and the median of the clear diameter. Cases belong together when their physics is
the same, else when the values of what both vary are.

Ends with 0 where nothing differs, and with 3 where something does, whether it is chance or not. Results of the same content are the
same row by row, but for the time the computation took.`

	exampleSubmit = `  onegrain submit puck.toml --dry-run                            # the scripts, without handing them in
  onegrain submit puck.toml --time 2:00:00 --partition short     # tasks of two hours at most; as many as that needs
  onegrain submit puck.toml --tasks 200 --cpus 4 --mem 8G -- --account=furnace --array=1-200%50
  onegrain run puck.toml --shard 3/64                            # all that a task does, for any other scheduler`
	shortSubmit = "hand a study to a Slurm cluster: an array of tasks, then a job that merges"
	longSubmit  = `Writes two scripts into the results folder and submits them: an array of tasks, each of which does many cases, and a job that
merges the results once no task runs any more, however they have ended, and says what is missing. Submitting again goes on: what is
finished is skipped. The study is kept as it is now, so it may be edited while tasks wait. What stands behind -- goes to sbatch as
it is. The numbers of the two jobs go to stdout. Results folder and program must have the same paths on all nodes.

If not given, each task gets at most half of its --time (of an hour) of work by the estimate of ` + "`onegrain check`" + `, within the largest
array that the cluster takes, and the memory that its runs need. Where the scheduler refuses, the exit code is 7.`

	exampleMerge = `  onegrain merge results/puck`
	shortMerge   = "make few large files of the many small ones of a study"
	longMerge    = `Makes few files of the many that runs and shards have left: of each table files of some 500,000 rows ordered by case and
replicate, of the cases one. Runs that are told twice are told once. Everything is read and proved first, and nothing is changed
where something is damaged. It may be stopped at any moment and given again, also while shards are still at work.`

	exampleAudit = `  onegrain audit results/puck
  onegrain audit results/puck --json | jq '.damage[].file'`
	shortAudit = "prove every file of results against its hash, and say what is damaged or lost"
	longAudit  = `Reads every file of a results folder and compares it with its SHA-256, the manifest and the other tables: what is damaged,
missing, not of this study, or told otherwise elsewhere is named, with what to do about it; then the exit code is 6. It changes
nothing. Sound results get a hash of their content, which is the same however many workers, shards and interruptions made them.`

	exampleDraw = `  onegrain draw puck.toml                            # case 1, replicate 1
  onegrain draw puck.toml --case 3 --replicate 7 --vti  # with the volume for 3D viewers
  onegrain draw puck.toml --case 3 --frames 40       # with a time-lapse, the furnace programme below it
  onegrain draw puck.toml --pictures all --format svg   # every picture that fits the body
  onegrain draw puck.toml --section z=4 --section y=2   # through other planes`
	shortDraw = "draw one run of a study: grains, growth sectors, arrival time, and more"
	longDraw  = `Runs one case of a study once and draws it: which cells belong to which grain, by which face they grew, with the facet
lines, and when. It says what the grains are worth as a magnet, and names the files it has written.

--pictures takes, with commas between:
  grains          which cells belong to which grain, from above and in a section, which passes through the largest stray
  sectors         growth sectors with facet lines
  arrival         contours of arrival time, with the undercooling then
  corner          grains of a three-dimensional body from a corner, a quarter cut out
  corner-sectors  the same with growth sectors
  boundaries      boundaries between grains by disorientation, those within domain.join_deg apart
  programme       temperature and undercooling of the furnace
  history         how far the first grain reaches, solid fraction and strays, until soon after the body is solid
  trapped-field   field of the magnetised body (not for vertical sections)
  strip           weakest cut for a current along x (blocks only)
  all             all of these that fit the body
Wherever grains are drawn, so are the seeds and, dashed, the clear piece: the largest disc of one domain through the whole thickness.`

	exampleMaterials = `  onegrain materials
  onegrain materials --json`
	shortMaterials = "print the material table, with the source of each value"
	longMaterials  = `The rows that material.base of a study may name. Each value has its source and says how sure it is; what a row does not
give, the study has to.`

	exampleExample = `  onegrain example                            # the names
  onegrain example puck-window > puck.toml    # one as a file to start from`
	shortExample = "print the shipped studies"
	longExample  = "Lists the shipped studies, or prints one."

	shortStudy   = "every key of a study file"
	shortResults = "every table and column of the results"

	shortCompletion = "print the completion script of a shell: bash, fish, powershell or zsh"
	shortHelp       = "explain a command or a page"

	flagJSON        = "print JSON instead of a table"
	flagOut         = "`folder` for the results (default results/NAME for NAME.toml)"
	flagWorkers     = "`number` of runs at a time; as many as there are processors if not given"
	flagShard       = "do part `K/N` of the cases only, as 2/5"
	flagOdds        = "exact odds alone, one run without strays a case (16 to 64 with placing scatter)"
	flagFailFast    = "stop at the first case that fails"
	flagCase        = "`number` of the case, from 1 in the order of the study"
	flagReplicate   = "`number` of the replicate, from 1"
	flagDrawOut     = "`folder` for the pictures"
	flagPictures    = "`kinds` of picture, with commas between, or all"
	flagSection     = "`plane` to show instead of the usual ones, such as y=2.5 in mm; up to three times"
	flagFormat      = "`kind` of picture, png or svg"
	flagAt          = "the body as it was at this `hour` of the programme (default: at its end)"
	flagFrames      = "also a time-lapse of this `number` of frames, 2 to 200"
	flagVTI         = "also the volume for 3D viewers, as .vti"
	flagNoStrays    = "the run without strays, as the exact odds see it"
	flagChance      = "wanted `chance` of a single grain"
	flagTolerance   = "`K` by which the true undercooling may be deeper and the chance still hold"
	flagDown        = "rate of cooling after the melt in `K/h`, down to the first stage (default: the study's)"
	flagDeepest     = "deepest undercooling in `K` that may come up (default: what the study's own programme goes to until the body is full)"
	flagReportOut   = "`folder` for the page (default: the results folder)"
	flagAxes        = "one or two varied `columns` that make the window, with a comma between (default: those with the most values)"
	flagOnly        = "of a varied `column=value` the cases with this value alone; may be repeated"
	flagReportStudy = "`file` of the study, where it needs others that stand beside it: an outline, a table of cases"
	flagNoPictures  = "do not grow the best case again for pictures"
	flagFindings    = "print the findings as JSON and make no page"
	flagTasks       = "`number` of tasks of the array (default: by the estimate of the study's work)"
	flagCPUs        = "`number` of runs at a time in each task"
	flagTime        = "most `time` of a task, as Slurm writes it: 90 (minutes), 2:30:00, 1-12 (days-hours)"
	flagMem         = "`memory` of a task, as 800M or 4G (default: by the estimate)"
	flagPartition   = "`name` of the partition"
	flagDry         = "print the scripts and submit nothing"
	theyDiffer      = "%s and %s differ"
	neitherOf       = "%s: no such file or folder; give two results folders or two study files"
	withinChance    = "counted shares of %s: the smallest p-value times their number is %s: no more than chance does"
	beyondChance    = "counted shares of %s: the smallest p-value times their number is %s: more than chance does"
	submittingWhat  = "%s in %s of %s each, by estimate"
	mayNotDo        = "that may not be done within --time %s: what is finished is kept, and submitting again goes on"
	guessedLargest  = "no scheduler to ask for its largest array: taken as %d"
	noScheduler     = "%w; `--dry-run` prints the scripts, and `onegrain run %s --shard K/N` does part K of N on any machine"
	fewerTasks      = "--tasks %d: there are %s only, so no more tasks than that"
	submitted       = "job %s: %s; job %s merges when they have ended; `squeue -j %s` shows them, they print to %s"
	mergeRefused    = "job %s, the tasks, is submitted, but not the job that merges: %w; when the tasks have ended, do `onegrain merge %s`"

	designing         = "designing a programme for %s"
	adviseNeedsSeed   = "the study has no seed, so strays are all that grows: give it a [[seed]]"
	adviseNeedsNuclei = "the study has no law of nucleation, so no programme brings strays and none is better than another: give it [nucleation.melt]"
	coolsSlowly       = "the study cools through the peritectic temperature at %.3g K/h, and so does the advice; --down 60 cools quickly to the first stage, which saves hours"
	scatterLeftOut    = "the placing scatter of the seeds is left out: the advice is for seeds that lie as told"
	manyDomains       = "the seeded grains do not join to one domain, so no programme makes this body a single grain; the chance told is that of no stray"
	advisedChance     = "No stray at a chance of %g or more, %s."
	advisedHours      = "Full after %.1f h; the programme ends after %.1f h."
	advisedOwn        = "The study's own programme: chance of none %s, %s, ends after %.1f h. As told, without tolerance, the better of the two is %s."
	oneOfUnknown      = "the study does not know %s: this advice is for the values of one case, and not averaged over them"
	drawingCharts     = "drawing charts"
	growingAgain      = "growing %s, replicate %d again"

	reading         = "reading %s"
	starting        = "%s, at most %s, into %s"
	stopping        = "%s: stopping; runs that end within %.0f s are kept as well; Ctrl-C once more leaves at once"
	missingFiles    = "%s of the manifest gone, as %s: what is lost is run again"
	stopped         = "stopped after %s; what is finished is kept, and the same command goes on: %s"
	finished        = "%s done, %d done before, in %s"
	oddsDone        = "exact odds of %s, in %s"
	mergedTable     = "%s: %s -> %s, %s"
	nothingToMerge  = "%s: every table is one file already, or none"
	unfinishedCases = "%d of %s are not finished: the same `onegrain run` or shards go on; then merge once more"
	unknownCases    = "whether all cases are finished is not known: %s names a file that does not stand beside it"
	damageFound     = "%s found in %s, listed above; nothing was changed"
	soundResults    = "%s: %s, %s: sound\ncontent %s\n"
	someFailed      = "%s failed: each line of %s names one, with the command that reproduces it"
	failedFast      = "stopped at the first failure, see %s; the same command goes on: %s"
	movedEarlier    = "%s held %s with %s of another version of the study or of the model: moved to %s"
	reusing         = "reusing %d of %s: same physics, model version %s"
	goingOn         = "%s holds a part of %s: going on with what is missing"

	internal     = "internal error: %v; the study and this command line, sent to the maintainers, let them find it"
	manyProblems = "%d problems in %s; nothing was run"
	shardNote    = "shard %s: of the other shards the table has what they have finished"
	shardEmpty   = "shard %s: no case of the study falls to it"
	noRunsYet    = "%s: no finished case yet; `onegrain run %s --out %s` goes on"
)

// plural counts something.
func plural(n int, what string) string {
	if n != 1 {
		what += "s"
	}
	return fmt.Sprintf("%d %s", n, what)
}

func unknownCommand(c *cobra.Command, name string) error {
	text := fmt.Sprintf("unknown command %q", name)
	c.SuggestionsMinimumDistance = 2
	if near := c.SuggestionsFor(name); len(near) > 0 {
		return fmt.Errorf("%s; did you mean %s?", text, strings.Join(near, " or "))
	}
	return fmt.Errorf("%s; see `onegrain help` for the commands there are", text)
}

func wrongArguments(c *cobra.Command, got, names []string) error {
	wanted := "nothing"
	if len(names) > 0 {
		wanted = strings.Join(names, " ")
	}
	return fmt.Errorf("%s takes %s, got %s; see `%s --help`", c.CommandPath(), wanted, plural(len(got), "argument"), c.CommandPath())
}

// plainFlag says what a flag wants in place of what its parser says of it.
func plainFlag(text string) string {
	said, parser, found := strings.Cut(text, ": strconv.")
	if !found {
		return text
	}
	for _, p := range [][2]string{{"ParseInt", "a whole number"}, {"ParseFloat", "a number"}, {"ParseBool", "true or false"}} {
		if strings.HasPrefix(parser, p[0]) {
			return said + ": wanted " + p[1]
		}
	}
	return text
}

// storageNext is the next move after any failure of storage.
const storageNext = "what was finished is kept, and the same command goes on"
