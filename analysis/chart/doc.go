// Package chart makes pictures and volumes of a body that was cut into cells.
//
//  1. The caller hands over plain arrays, [Cells], and says with a [Sheet] how the picture is to be made.
//  2. [Grains] draws what belongs to which grain, [Sectors] by which face it grew, [Arrival] when it was captured,
//     [TimeLapse] how the grains came about.
//  3. [WriteVTI] writes the whole field as a volume for other programs.
package chart
