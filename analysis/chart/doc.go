// Package chart makes pictures and volumes of a body that was cut into cells. It knows no engine and no study.
//
//  1. The caller hands over plain arrays, [Cells], and says with a [Sheet] how the picture is to be made. The arrays are
//     checked first; an error names the field, its value and what was wanted, and nothing is written then.
//  2. The body is seen in one or two planes: a two-dimensional body in its own plane; a three-dimensional one from above
//     (its top layer) and in an upright section through the largest stray, or through the first seed
//     where there is none, both at the same scale, or in the planes that the sheet asks for. Wedges
//     beside the view from above show where sections are taken.
//  3. [Grains] draws what belongs to which grain, [Sectors] by which face it grew, [Arrival] when it was captured,
//     [Boundaries] the disorientation of borders, and [TimeLapse] how the grains came about, with the furnace programme below.
//     Cells are painted as areas; where the cubic grid renders a slanting border
//     as a staircase the corners are cut, so that borders at 45° are straight, but no border moves by more than half a cell.
//     [Corner] follows one ray for each quarter of a pixel to the body with a quarter cut out (solid.go, gaze.go), and
//     draws lines between rays that see different areas.
//  4. Lines follow the borders of the areas: grains (thinner at a low angle), facet lines between a sectors (dark), borders
//     of c sectors (white), nuclei, the growth front, the outline of the body; and contours of arrival
//     time. Wherever grains are drawn, so are the patches of the seeds on the top face and, dashed,
//     the clear piece (mark.go).
//  5. The legend tells what was painted and nothing else (sight.go). Legend, colour bar and captions
//     stand outside the data. A sheet is PNG at two pixels a point, or SVG with areas as embedded PNG; the typeface travels with the program, and a test holds that it has every sign.
//  6. Each function returns a sentence or two that say what is seen, for readers who do not see it.
//  7. [WriteVTI] writes the whole field as a volume for other programs.
//
// All colours come from package tint, where they are described and checked; package paper holds the page, its typeface and
// scales, package graph the charts of a report.
//
// Rejected: vector cells (hairlines between them in most viewers), a legend inside the axes (it covers data), one colour for
// each grain (nobody tells 300 apart; borders do).
package chart
