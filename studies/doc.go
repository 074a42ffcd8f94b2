// Package studies turns a study file into cases that can be run.
//
// The steps for a study:
//
//  1. Load reads the file against the table of keys (fields.go) and takes what it does not say from
//     its material (package material, filled in by materials.go).
//  2. The axes of [[vary]] and the [design] are checked (package design) and make a Plan: a lazy
//     list of cases (plan.go).
//  3. Every case is checked cheaply by package border, so that a study that cannot work is refused
//     before any furnace time is simulated (load.go).
//  4. A Planned case has an identity, the hash of the physics that decides its result, and a key
//     for the random streams of each replicate (plan.go).
//  5. Explain says what a study would do and cost (explain.go).
//
// Package run runs the cases, package again one of them once more; both know more than this package
// needs: it has no Parquet and starts no goroutine.
//
// Units: the file's own (mm, h, K, °C, degrees) up to package border, the engine's (mm, h, K of
// undercooling) beyond.
package studies
