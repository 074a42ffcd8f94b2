// Package facts says what was seen of furnace runs, in the form in which laws are learnt from it.
//
//  1. A [Run] is a furnace programme with what was seen of it, whoever read it: a logbook, or dice.
//  2. A [Fact] is one thing seen up to an hour of the programme: how many strays came, when the
//     first one came, how far a face had grown, whether it had reached the rim.
//
// Units: mm, mm³, h, K.
package facts

import (
	"math"

	"onegrain/sim/furnace"
)

// Kind is what a fact says.
type Kind uint8

// What can be seen of a run.
const (
	Strays     Kind = iota // from Least to Most strays came after hour FromH and until hour ToH
	FirstStray             // the first stray came at hour ToH
	GrownA                 // the a faces had grown MM at hour ToH, as measured
	GrownC                 // the c faces had
	ReachedA               // the a faces had grown MM or more at hour ToH
	ShortOfA               // the a faces had grown less than MM at hour ToH
)

// Any is the Most of a number of strays that nothing bounds.
const Any = math.MaxInt

// Fact is one thing seen. Hours are those of the programme. A body that was looked at twice, clean
// at first and with strays later, gives two facts: no strays until then, one or more after.
type Fact struct {
	Kind        Kind
	FromH, ToH  float64
	Least, Most int     // of Strays; more than 25 are as many as 26 or more
	MM          float64 // one face's length, more than 0: half of what a width has grown
	Line        int     // of the logbook, from 1
}

// Run is a furnace run.
type Run struct {
	Name      string
	Furnace   int               // 0 is the one whose readings are taken as they are
	Programme furnace.Programme // as read; begins molten, at or below 0 K
	// all of it liquid, mm³, where no seed grew; 0 for the body with its seeds
	LiquidMM3 float64
	Saw       []Fact
}

// Hold is a programme that jumps to an undercooling and stays there.
func Hold(undercoolingK, hours float64) furnace.Programme {
	return furnace.Programme{Knots: []furnace.Knot{{}, {UndercoolingK: undercoolingK},
		{TimeH: hours, UndercoolingK: undercoolingK}}}
}
