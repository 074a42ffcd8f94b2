package sample

// polynomial gives one axis of a Sobol sequence: the inner coefficients of a primitive polynomial
// over the integers modulo 2, the highest power first, of the degree that there are first numbers.
type polynomial struct {
	inner uint64
	first []uint64 // m₁, m₂, …: odd, the k-th below 2^k
}

// joeKuo are the first axes of the table new-joe-kuo-6.21201 that S. Joe and F. Y. Kuo publish with
// SIAM J. Sci. Comput. 30 (2008)
// 2635. The first axis has no polynomial.
func joeKuo() [MostAxes]polynomial {
	type m = []uint64
	return [MostAxes]polynomial{
		{}, {0, m{1}}, {1, m{1, 3}}, {1, m{1, 3, 1}}, {2, m{1, 1, 1}}, {1, m{1, 1, 3, 3}},
		{4, m{1, 3, 5, 13}}, {2, m{1, 1, 5, 5, 17}}, {4, m{1, 1, 5, 5, 5}}, {7, m{1, 1, 7, 11, 19}},
		{11, m{1, 1, 5, 1, 1}}, {13, m{1, 1, 1, 3, 11}}, {14, m{1, 3, 5, 5, 31}},
		{1, m{1, 3, 3, 9, 7, 49}}, {13, m{1, 1, 1, 15, 21, 21}}, {16, m{1, 3, 1, 13, 27, 49}},
		{19, m{1, 1, 1, 15, 7, 5}}, {22, m{1, 3, 1, 15, 13, 25}}, {25, m{1, 1, 5, 5, 19, 61}},
		{1, m{1, 3, 7, 11, 23, 15, 103}}, {4, m{1, 3, 7, 13, 13, 15, 69}},
		{7, m{1, 1, 3, 13, 7, 35, 63}}, {8, m{1, 3, 5, 9, 1, 25, 53}}, {14, m{1, 3, 1, 13, 9, 35, 107}},
		{19, m{1, 3, 1, 5, 27, 61, 31}}, {21, m{1, 1, 5, 11, 19, 41, 61}},
		{28, m{1, 3, 5, 3, 3, 13, 69}}, {31, m{1, 1, 7, 13, 1, 19, 1}}, {32, m{1, 3, 7, 5, 13, 19, 59}},
		{37, m{1, 1, 3, 9, 25, 29, 41}}, {41, m{1, 3, 5, 13, 23, 1, 55}},
		{42, m{1, 3, 7, 3, 13, 59, 17}}, {50, m{1, 3, 1, 3, 5, 53, 69}}, {55, m{1, 1, 5, 5, 23, 33, 13}},
		{56, m{1, 1, 7, 7, 1, 61, 123}}, {59, m{1, 1, 7, 9, 13, 61, 49}}, {62, m{1, 3, 3, 5, 3, 55, 33}},
		{14, m{1, 3, 1, 15, 31, 13, 49, 245}}, {21, m{1, 3, 5, 15, 31, 59, 63, 97}},
		{22, m{1, 3, 1, 11, 11, 11, 77, 249}},
	}
}
