// Package influence finds which input of a study matters.
//
//  1. [Table] holds the cases: a column for each input, one for each result, and where the design
//     says so the place of each case in it.
//  2. [Of] ranks the inputs for each result. Any design with two inputs or more gives rank
//     correlations (rank.go): does the result rise or fall with the input, and how reliably.
//  3. A Saltelli design gives Sobol' indices besides (sobol.go): which share of the variance of the
//     result comes from the input alone (first order), and which from the input together with
//     others (total).
//  4. Every number has a 95 % interval: rank correlations by formula, indices by resampling the
//     rows of the design.
//  5. What keeps a reader from trusting a number stands in the warnings of its ranking.
//
// Rejected: regression coefficients, since most results here are anything but linear.
package influence
