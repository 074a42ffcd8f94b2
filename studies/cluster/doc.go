// Package cluster hands a study to the scheduler of a cluster: as an array of tasks, each of which
// does one shard of it, and a job that merges their results.
//
//  1. [Load] says what the study costs and what a task may take; [Load.Tasks] makes of it a number
//     of tasks, each with much to do.
//  2. [Job] is written down as two scripts, [Job.Array] and [Job.Merge]. A task needs its index and
//     nothing else: it runs `onegrain run --shard K/N`, which does what is not done yet of its
//     shard. So a task that was killed, cancelled or given twice harms nothing, and submitting
//     again goes on.
//  3. A [Scheduler] takes scripts; [Slurm] is one, called through its own commands. What it refuses
//     is a [Refused].
//
// The merge job runs after the last task has ended, however it ended, and says itself what is
// missing: a dependency on success would leave it waiting for ever as soon as one task fails.
package cluster
