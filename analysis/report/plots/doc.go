// Package plots chooses the charts of a report from the findings of a study, and draws its figures.
//
//  1. [Of] lists the charts that a study has something to say for, each with the section of the
//     page it belongs to and a caption. Nothing is drawn yet.
//  2. The window comes first (window.go): the chance of a single grain over two axes, or one, small
//     multiples for the others. Then the size of the clear piece and the hours (size.go).
//  3. Seeds placed with scatter have distributions of the worst boundary and of the largest domain
//     (joints.go), studies with several inputs bars of what matters (influence.go).
//  4. Draw of a [Plot] hands the values to package graph.
//  5. An [Album] draws figures in both formats (album.go): as PNG for the page, as PNG and SVG
//     beside it. A page must stay small enough to be mailed: what comes late is carried at half its
//     resolution, and a film that has no room stays beside the page.
//
// Studies of more cases than a chart can show are thinned out evenly, and the caption says so.
package plots
