package tally

import (
	"hash/fnv"
	"math/rand/v2"
)

// Stream is a stream of random numbers that depends on its label alone, so that a report made twice
// says the same. It is not that of any run.
func Stream(label string) *rand.Rand {
	h := fnv.New64a()
	_, _ = h.Write([]byte(label)) // never fails
	return rand.New(rand.NewPCG(h.Sum64(), 0x6f6e65677261696e))
}
