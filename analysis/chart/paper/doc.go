// Package paper is what all pictures are drawn on. It knows nothing of grains and studies.
//
//  1. A [Page] is measured in points from its upper left corner; [New] makes it for PNG or for SVG,
//     Draw draws the things of a scene on it, Encode writes it.
//  2. [Letters] is the one typeface, which travels with the program, and measures text before it is
//     set.
//  3. [NewPlot] is a plot of gonum/plot in the style of the house; Page.Part is the place for it on
//     a page. Legends, titles and colour bars are set beside it, never inside, where they would
//     cover data.
package paper
