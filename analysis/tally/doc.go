// Package tally holds the small statistics that all findings share.
//
//  1. [Real] is a number that may not be known: NaN in the program, null in JSON.
//  2. [Share] is the 95 % interval of a counted share.
//  3. [Spread] says how values scatter: quantiles and a histogram of fixed size, however many
//     values there were.
//  4. [Agree] asks whether counted shares and exact chances of many cases can both be right.
//  5. [Stream] gives random numbers to whoever resamples, the same ones every time.
package tally
