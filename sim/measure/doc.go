// Package measure turns a finished run into numbers.
//
//  1. Look passes over all cells of an Outcome once and keeps what the measures share: cells by
//     grain and sector, which grains share a face, who owns each column, and how much was solid
//     when (survey.go).
//  2. Seeded grains that touch within the joining angle make a domain (domain.go).
//  3. Columns that belong to the largest domain through their whole thickness are clear; the
//     largest disc and square are fitted into them (clear.go, widest.go).
//  4. Run, Grains, Boundaries and History are the rows a person reads.
//  5. Odds is the exact chance of a single grain, from the run without strays alone (odds.go).
//
// Volumes are mm³ of cells, areas mm², times hours from the start of the programme; in a plane they
// are those of the thickness that its grid says (body.Grid.FlatMM), else of 1 mm. What was not
// there to be measured is NaN.
package measure
