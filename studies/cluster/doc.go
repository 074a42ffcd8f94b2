// Package cluster hands a study to the scheduler of a cluster: as an array of tasks, each of which
// does one shard of it, and a job that merges their results.
//
//  1. A [Submission] is a study with what was asked for its tasks. [Submission.Plan] looks at what
//     the study costs and what a task may take, and makes of it a number of tasks.
//  2. The plan is written down as two scripts. A task needs its index and nothing else: it runs
//     `onegrain run --shard K/N`, which does what is not done yet of its shard. So a task that was
//     killed, cancelled or given twice harms nothing, and submitting again continues.
//     [Submission.HandIn] keeps the study as it is, with what it names, beside the scripts;
//     [Beside] and [BesideResults] find it there.
//  3. A [Scheduler] takes scripts; [Slurm] is one, called through its own commands. What it refuses
//     is a [Refused].
//
// The merge job runs after the last task has ended, however it ended, and says what is missing: a
// dependency on success would leave it waiting for ever as soon as one task fails.
package cluster
