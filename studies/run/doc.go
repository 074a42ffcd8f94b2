// Package run runs the cases of a study and writes what comes out.
//
//  1. The Runner finds what the folder holds already (recall.go) and runs what is not done yet, several cases at once, each
//     replicate once (runner.go, jobs.go, crew.go).
//  2. Runs become rows (rows.go) and so do cases (sum.go, cases.go), which are written as they come together.
package run
