// Package belief learns the laws of a melt from furnace runs: not one law, but many that the runs
// and what was known before allow, each as likely as the other.
//
//  1. What was seen are facts of whole runs (package facts). How probable they are if a law is the
//     melt's, package likelihood says.
//  2. Each unknown has a [Prior]: published values, or what a furnace is known to do (priors.go).
//     Strays come by one of two families of laws, of which neither is likelier before any run.
//  3. [Learn] draws from each family (package sample), and gives it as many of the draws as its
//     evidence is of both (learn.go).
//  4. A [Posterior] says what the runs told and what the priors did (found.go), how each run looked
//     by what was known before it (foreseen.go), and which two holds would tell the families apart
//     (apart.go).
//
// Units: mm, h, K, °C.
package belief

import (
	"onegrain/sim/liquid"
	"onegrain/studies/draws"
)

// Body is in what the runs were made.
type Body struct {
	Table       *liquid.Table // of the body with its seeds; nil if all runs say how much was liquid
	PeritecticC float64
}

// Prior is what is known of a quantity without any run: normal, or normal in its logarithm.
type Prior struct {
	Key, Text, Unit string
	Middle, SD      float64 // SD is that of the natural logarithm where Log is true
	Log             bool
	Source          string
}

// Options are how to learn.
type Options struct {
	Priors   []Prior  // nil for those of Priors
	Families []string // of strays, each as likely as the other before any run; nil for both
	Key      string   // names the random numbers: the logbook's hash
	Furnaces int      // of the logbook; 1 or more
	Draws    int      // how many laws; 0 for 1000
	Workers  int      // 0 for as many as there are processors; results do not depend on it
}

// Family is what became of one family of strays.
type Family struct {
	Name               string
	Share              float64 // of the draws: its part of the evidence
	LogEvidence        float64
	ParetoK, Effective float64 // of the weights; the chain's split R̂ stands in Mixed
	Chain              bool    // whether a chain had to take the place of weights
	Mixed              float64 // split R̂ of the chain, 0 without one
}

// Quantity is one unknown beside what was known of it before.
type Quantity struct {
	Key, Text, Unit   string
	Low, Middle, High float64 // 90 of 100 draws lie between Low and High
	Share             float64 // 1 − (sd after / sd before)²
	By                string  // "the logbook", "both", "mostly prior", "prior alone"
}

// Foreseen is how a fact looked by the laws learnt from the runs before it.
type Foreseen struct {
	Run    string
	Line   int
	Chance float64 // of what was seen, or of something as unlikely
}

// Pair is two holds at one undercooling that tell the families apart best.
type Pair struct {
	UndercoolingK, ShortH, LongH float64
	Bits                         float64 // of one that there is to know
}

// Posterior is what is known after the runs.
type Posterior struct {
	Laws       []draws.Law // each as likely as the other
	Families   []Family
	ParetoK    float64 // the worst of the families
	Effective  float64 // independent draws that all are worth
	Quantities []Quantity
	Foreseen   []Foreseen
	Apart      *Pair // nil where nothing tells the families apart, or only one was looked at
	// undercoolings of all runs, and of those with strays, K
	LowestK, HighestK, LowestStrayK, HighestStrayK float64
	Runs, WithStrays, Strays                       int // runs, those with strays, and strays in all, at least
}
