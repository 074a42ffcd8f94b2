// Package gallery draws one run that was grown again.
//
//  1. New gathers what its pictures have in common: cells and sheet as package chart wants them,
//     and what the run traps and carries as a magnet.
//  2. Kinds lists the kinds of picture, one line each: which bodies have one, how it is drawn
//     (gallery.go; over.go for those over time, magnet.go for field and strip), and how the report
//     calls it. Gallery.Reported are those that the report shows of a run, in its order.
//  3. Lapse is a time-lapse, Volume the field for other programs, Programme the furnace alone.
//  4. What is said of a run, and captions, stand in words.txt (words.go).
//
// It connects a run, which knows no picture, with package chart, which knows no run.
package gallery
