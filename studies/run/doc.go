// Package run runs the cases of a study and writes what comes out.
//
//  1. The Runner finds what the folder holds already (recall.go) and runs what is not done yet,
//     several cases at once, each replicate once (runner.go, jobs.go, crew.go).
//  2. What is known of a case comes together in its progress (progress.go).
//  3. Runs and cases become rows, which are written as they come together (rows.go, runner.go).
package run
