// Package sample draws from a density that is known up to evaluation only.
//
//  1. The unknowns are scaled so that without data each is normal with mean 0 and deviation 1. A
//     [Density] is the logarithm of prior times likelihood there, both with all their constants.
//  2. Newton's method with differences finds the mode and the curvature there, which is never taken
//     for flatter than the prior (climb.go).
//  3. Points of a Student t distribution of that shape are weighed by the density, their largest
//     weights smoothed by a Pareto distribution (points.go, pareto.go). Where few points carry all,
//     or the tail is heavy, mean and covariance of the weighed points make the next proposal.
//  4. Where that does not help, chains of Metropolis take the place of the points, and bridge
//     sampling gives the evidence (chain.go).
//
// All arithmetic is our own and rounded product by product, so the same density gives the same
// draws on every processor and for any number of workers. Sources: J. Zhang, M. A. Stephens,
// Technometrics 51 (2009) 316; A. Vehtari et al., J. Mach. Learn. Res. 25 (2024) 72; A. Gelman et
// al., Bayesian Data Analysis (2013), ch. 11 (split R̂); X.-L. Meng, W. H. Wong, Stat. Sinica 6
// (1996) 831.
package sample
