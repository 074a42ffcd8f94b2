// Package number holds the elementary functions of the engine, with the same bits on every machine,
// and what is common to measured laws.
//
// The functions of package math may use assembly, or fused multiply-adds where the processor has
// them, and then differ in the last bit between machines; a study spread over a mixed cluster would
// not be reproducible. Here
//
//  1. every product that feeds a sum is rounded on its own (float64(a*b) + c), so no compiler may
//     fuse the two;
//  2. arguments are reduced with constants split in two or three parts, so that the reduction adds
//     no error;
//  3. a short polynomial does the rest: the coefficients are those of FreeBSD's msun (e_exp.c,
//     e_log.c, k_sin.c, k_cos.c, s_erf.c; Copyright 1993 by Sun Microsystems, Inc., permission to
//     use, copy, modify, and distribute this software is freely granted, provided that this notice
//     is preserved) and, for Atan2, of Cephes (S. L. Moshier);
//  4. Pow takes the logarithm in double-double arithmetic (T. J. Dekker, Numer. Math. 18 (1971)
//     224), as a rounded logarithm times a large exponent would lose digits.
//
// All are accurate to 2 units in the last place (4 for Erfc beyond 1.25, whose exponentials add
// their own); tests hold them to that.
package number

import "math"

// mad is a·b + c with both roundings made: the form no compiler may fuse.
func mad(a, b, c float64) float64 { return float64(a*b) + c }

// poly is the polynomial with the given coefficients, the highest power first (Horner's rule).
func poly(x float64, coefficients ...float64) float64 {
	y := coefficients[0]
	for _, c := range coefficients[1:] {
		y = float64(y*x) + c
	}
	return y
}

// product is a·b as an unevaluated sum of two doubles, exact unless it underflows. math.FMA rounds
// once by definition, in hardware or not, so it has the same bits everywhere; only fusing left to
// the compiler does not.
func product(a, b float64) (hi, lo float64) {
	hi = float64(a * b)
	return hi, math.FMA(a, b, -hi)
}

// sum is a+b as an unevaluated sum of two doubles, exact for |a| ≥ |b|.
func sum(a, b float64) (hi, lo float64) {
	hi = a + b
	return hi, b - (hi - a)
}
