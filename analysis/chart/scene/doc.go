// Package scene works out what a picture shows of a body that was cut into cells. It takes plain
// arrays and gives a list of things to draw; it knows no file, no typeface and no plotting library,
// so that a page of paper and a page of a browser draw the same.
//
//  1. [Cells] and [Sheet] are checked first; an error names the field, its value and what was
//     wanted. What the body is made of is counted (count.go).
//  2. The body is seen in one or two planes (view.go): a two-dimensional body in its own plane; a
//     three-dimensional one from above (its top layer) and in an upright section through the
//     largest stray, or through the first seed where there is none, both at the same scale; or in
//     the planes that the sheet asks for. Wedges beside the view from above show where sections are
//     taken.
//  3. A picture says how its kind is painted and all that its legend may have to explain
//     (picture.go). Cells are painted as areas; where the cubic grid renders a slanting boundary as
//     a staircase the corners are cut, so that boundaries at 45° are straight, but none moves by
//     more than half a cell (area.go).
//  4. Lines follow the boundaries of the areas (line.go): grains (thinner at a low angle), facet
//     lines between a sectors (dark), boundaries of c sectors (white), nuclei, the growth front,
//     the outline of the body; and contours of arrival time (contour.go). Wherever grains are
//     drawn, so are the patches of the seeds on the top face and, dashed, the clear piece
//     (mark.go).
//  5. From a corner one ray for each quarter of a pixel is followed to the body with a quarter cut
//     out (corner.go, solid.go), and lines are drawn between rays that meet different areas.
//  6. The legend explains what was painted and nothing else (legend.go). Legend, colour bar and
//     captions stand outside the data (layout.go, panel.go).
//  7. [Make] gives the finished [Scene]: things to draw, one over the other, in points, with a
//     sentence or two for readers who do not see it. [NewLapse] gives those of a time-lapse.
//
// Rejected: vector cells (hairlines between them in most viewers), a legend inside the axes (it
// covers data), one colour for each grain (nobody can distinguish 300 colours; boundaries separate
// grains).
package scene
