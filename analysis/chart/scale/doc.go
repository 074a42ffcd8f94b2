// Package scale makes the numbers along the axes of pictures: round steps, decimals, a true minus
// sign.
package scale
