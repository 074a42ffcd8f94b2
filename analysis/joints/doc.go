// Package joints finds how grains join: the boundaries of many runs, and what the scatter of placed
// seeds does.
//
//  1. A [Collector] takes in runs, then the rows of their grains, then those of their boundaries,
//     in any order within each, and keeps a few numbers of each run; so the rows of 100,000 runs
//     pass through it without being kept.
//  2. Collector.Boundaries sums over all of them by kind, seed to seed, seed to stray, stray to
//     stray: how many, what area, how much of it low-angle, and what share of the critical current
//     passes by the law of Hilgenkamp and Mannhart (collector.go).
//  3. Collector.Scatter gives, for each case and for all, how the worst boundary between seeded
//     grains and the largest domain scatter over the runs (scatter.go).
//  4. The boundaries of one run may be kept one by one.
package joints
