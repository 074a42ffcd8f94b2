// Package draw makes the random numbers of a run: named streams that depend on nothing but their
// name.
//
//  1. The caller describes what is to be drawn for (study seed, case, replicate) and gets a Key:
//     the first 128 bits of a SHA-256.
//  2. A Key gives any number of streams, one a label; numbers taken from one never shift those of
//     another.
//  3. A stream is the PCG generator of math/rand/v2, whose sequence Go promises to keep, and the
//     samplers are made here with package number, so a draw has the same bits on every machine and
//     under every later library.
//
// Every sampler but Index takes a fixed count of raw numbers, so the n-th draw is the same whatever
// the values before it.
package draw

import (
	"crypto/sha256"
	"math"
	"math/bits"
	"math/rand/v2"

	"onegrain/sim/number"
)

// Key names a family of streams.
type Key [16]byte

// NewKey hashes the parts, each with its length before it, so that ("ab", "c") and ("a", "bc")
// differ.
func NewKey(parts ...string) Key {
	h := sha256.Sum256(joined(nil, parts...))
	return Key(h[:16])
}

// Stream is the stream of that label, from its beginning. It is not safe for use by several
// goroutines at once.
func (k Key) Stream(label string) *Stream {
	h := sha256.Sum256(joined(k[:], label))
	return &Stream{rand.NewPCG(word(h[0:8]), word(h[8:16]))}
}

// Stream is a sequence of random numbers.
type Stream struct{ source *rand.PCG }

// Uniform is a multiple of 2^-53 in [0, 1).
func (s *Stream) Uniform() float64 { return float64(float64(s.source.Uint64()>>11) * 0x1p-53) }

// Exponential has mean 1: −log(1−U).
func (s *Stream) Exponential() float64 { return -number.Log(1 - s.Uniform()) }

// Normal has mean 0 and variance 1 (G. E. P. Box & M. E. Muller, Ann. Math. Stat. 29 (1958) 610).
// The second number of the pair is left unused, so that each draw takes exactly two uniforms.
func (s *Stream) Normal() float64 {
	r := math.Sqrt(float64(2 * s.Exponential()))
	_, cos := number.Sincos(float64(2 * math.Pi * s.Uniform()))
	return float64(r * cos)
}

// Index is one of 0 … n−1, each exactly as likely (D. Lemire, ACM Trans. Model. Comput. Simul. 29
// (2019) 3); 0 for n ≤ 1.
func (s *Stream) Index(n int) int {
	if n <= 1 {
		return 0
	}
	m := uint64(n)
	hi, lo := bits.Mul64(s.source.Uint64(), m)
	for lo < m && lo < -m%m {
		hi, lo = bits.Mul64(s.source.Uint64(), m)
	}
	return int(hi)
}

// joined appends each part after its length in eight bytes.
func joined(head []byte, parts ...string) []byte {
	for _, p := range parts {
		for shift := 56; shift >= 0; shift -= 8 {
			head = append(head, byte(uint64(len(p))>>shift))
		}
		head = append(head, p...)
	}
	return head
}

// word reads eight bytes, most significant first.
func word(b []byte) uint64 {
	var w uint64
	for _, x := range b {
		w = w<<8 | uint64(x)
	}
	return w
}
