// Package scale writes numbers for people: along the axes of pictures round steps, decimals, a true
// minus sign; in words powers of ten, how many of something.
package scale
