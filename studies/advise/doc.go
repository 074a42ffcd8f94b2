// Package advise runs a case for the design of its furnace programme.
//
//  1. A stand is a case taken apart: its own melting, and any cooling after it, run without strays
//     (stand.go). Package analysis/advice designs; it knows no run and is handed this one.
//  2. For checks the case, designs, and puts what was found into hours from the start of the
//     programme, with the study's own programme beside it (advised.go).
//
// Units: h, K, °C, K/h. Seeds lie as the study says, without scatter.
package advise
