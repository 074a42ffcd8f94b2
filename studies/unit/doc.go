// Package unit holds the units of keys and columns in one table: the ending of a name, how people
// write the unit, and its UCUM code. Every name of a quantity ends in its unit. It also says how a
// number is rounded before a file has it in decimals.
package unit
