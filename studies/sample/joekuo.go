package sample

import (
	_ "embed" // the table
	"strconv"
	"strings"
)

//go:embed joekuo.txt
var joeKuoTable string

// polynomial gives one axis of a Sobol sequence: the inner coefficients of a primitive polynomial
// over the integers modulo 2, the highest power first, of the degree that there are first numbers.
type polynomial struct {
	inner uint64
	first []uint64 // m₁, m₂, …: odd, the k-th below 2^k
}

// joeKuo are the polynomials of joekuo.txt; the first axis has none.
func joeKuo() (all [MostAxes]polynomial) {
	_, table, _ := strings.Cut(joeKuoTable, "\n\n")
	for line := range strings.Lines(table) {
		var row []uint64
		for _, field := range strings.Fields(line) {
			n, _ := strconv.ParseUint(field, 10, 64)
			row = append(row, n)
		}
		all[row[0]-1] = polynomial{row[2], row[3:]}
	}
	return all
}
