// Package window finds where in the explored range a single grain is likely enough.
//
//  1. A [Study] has axes (axis.go) and cases (study.go). The chance of a case (point.go) is its
//     exact chance; where seeds are placed with scatter the mean over the placings with an
//     interval; where there is no exact chance the counted share with its interval. From that and
//     the wanted chance follows a verdict: yes, no, open, never, unknown. Cases that differ only in
//     what is not known are averaged before (average.go); [Best] is the one rule for the best case
//     (best.go).
//  2. [Find] takes two axes (or one) and cuts the study into slices, one for each combination of
//     the others (find.go, slice.go). Where nearly every case has its own values of the others, as
//     in a Latin hypercube, there is a single slice with all cases, without a limit.
//  3. The limit is where the chance crosses the wanted one (limit.go). Along one axis: monotone
//     interpolation of log Λ between cases, Λ = −log of the chance, and bisection; known to lie
//     between two cases whose verdict is sure. Over two axes: a line through log Λ, bilinear on the
//     grid of the cases. Cases on no grid have none, nor have cases that were only counted.
//  4. The plain sentence (sentence.go, words.txt) names the largest box (box.go) all of whose
//     computed cases reach the wanted chance for sure, and its best case. It never contains a case
//     that does not, nor a place outside of the explored range. It says which of its sides are only
//     edges of that range.
//  5. Whatever limits the trust stands in the warnings (warn.go).
//
// log Λ is taken, since the chance exp(−Λ) is flat at 0 and 1 where Λ still changes by decades, and
// Λ goes with powers of what is varied.
//
// Rejected: limits from raw counted shares by interpolation (they cross the wanted chance several
// times by luck alone), or by a regression through them: exact odds are missing only where a study
// was stopped early, and finishing it costs less than a guess. Smooth surfaces through scattered
// cases: their error could be estimated only from the cases themselves.
package window
