// Package chances says what all laws that a logbook allows make of a case.
//
//  1. Each draw of the file of laws is a run: its growth, its strays, and how much cooler than the
//     programme the body was (package laws).
//  2. Where the liquid of the body is known as a table (sim/liquid), each draw is a walk along its
//     programme, and all of them are taken. Elsewhere some draws are grown without strays
//     ([Maker.Over]).
//  3. The chance of a draw is that of one grain, full by the end of the programme. [Over] has their
//     mean, between which two 90 of 100 laws lie, the mean of the worse family, and which share of
//     the variance is whether strays are a rate or sites.
//
// Units: hours; chances from 0 to 1.
package chances
