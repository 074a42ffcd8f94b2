// Package chart writes pictures and volumes of a body that was cut into cells. It knows no engine
// and no study.
//
//  1. The caller hands over plain arrays, [scene.Cells], and says with a [Sheet] what the picture
//     shows.
//  2. Package scene checks them and works out what there is to be seen: areas, lines, marks, legend
//     and a text alternative. [Draw] draws that on paper and writes it as PNG or SVG.
//  3. [TimeLapse] draws frames of how the grains came about, with the furnace programme below
//     (course.go), as a GIF.
//  4. [WriteVTI] writes the whole field as a volume for other programs.
//
// All colours come from package tint, where they are described and checked, numbers on axes from
// package scale; package paper holds the page and its typeface, package graph the charts of a
// report.
package chart
