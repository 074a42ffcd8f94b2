// Package compare finds what differs between two studies: in what they say, in the cases they have,
// and in what became of the cases.
//
//  1. A [Side] is one of them: its settings, its cases, and what was counted in them.
//  2. Cases are matched by their physics; what is left over, by the values that both studies vary
//     (match.go).
//  3. Of each pair the share of single grains is compared by Fisher's exact test, the exact chance
//     as it is, and the medians of the clear diameter are put side by side (pair.go).
//  4. [Compare] puts it together as [Findings]; [Findings.Same] is the verdict.
//
// Units: mm; shares and chances from 0 to 1.
package compare
