// Package analysis reads a results folder and says what it shows: everything a page for the
// furnace needs, with the reasons not to trust it.
//
//  1. [Read] takes the study's own words (facts.go), the table of cases (cases.go), then runs,
//     grains and boundaries file by file (runs.go), so that memory goes with the number of runs and
//     not with their rows.
//  2. Package window finds where a single grain is likely enough, package influence which input
//     matters, package joints what boundaries and placing scatter do; package tally has the
//     statistics that they share.
//  3. [Findings] holds it all as plain values that become JSON; what is not known is null there.
//     Its warnings are those of the study as a whole; each part has its own besides.
//
// Nothing here runs or draws anything.
package analysis
