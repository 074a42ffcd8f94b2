// Package unit holds the units of keys and columns in one table: the ending of a name, how people
// write the unit, and its UCUM code. Every name of a quantity ends in its unit. Beside them stands
// how a number is rounded that a file writes in decimals.
package unit
