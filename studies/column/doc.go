// Package column has every column of every table of results, and takes its value from a row.
//
//  1. A row is a [Run], [Case], [Grain], [Boundary] or [Moment]: plain values, in the units that
//     their names end in. What the engine measures is assigned to them whole, so that the compiler
//     sees where the two differ.
//  2. Each column is written once, in columns.txt: name, unit, meaning. Its value is the field of
//     the row that is called like it, and its kind that of the field (field.go).
//  3. [Of] makes the [Schema] of a table of them, with the varied columns of a study put in, and
//     Schema.Row the values of a row in their order.
//
// A column is only ever added, and then may be empty, so that files of an older version can still
// be read. In a plane volumes and areas are those of body.thickness_mm; without it of 1 mm, so that
// mm³ reads as mm², mm² as mm.
package column
