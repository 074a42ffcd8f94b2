// Package graph draws the charts of a report from plain values. It knows no study, no table and no
// engine.
//
//  1. Each chart is a struct of plain values: [Multiples] of [Window] or [Curves], of one or more,
//     [Programme], [History], [Distribution], [Bars], [Field], [Strip]. Draw writes it as PNG or
//     SVG and returns one or two sentences that say what is seen, for readers who do not see it.
//     All of them go through the same steps (write in sheet.go).
//  2. The values are checked first, all in one walk (check.go); an error names the field, its value
//     and what was wanted, and nothing is written then. What is only not known is NaN, where the
//     field has the tag nan, and the chart shows that it is left out.
//  3. A chart that would mislead is not drawn: where there are no data, where every case failed,
//     where a single value has no distribution, the sheet says so in words.
//  4. Axes are those of gonum/plot with title and unit (axis.go); legend, colour bar and remarks
//     stand below the data and cover nothing (sheet.go). Texts, frames and the colour bar are those
//     of package scene. Marks on an axis carry numbers that the legend explains, so that their
//     texts cannot collide (marks.go).
//  5. A remark under the chart says what a reader could get wrong: one case only, every case alike,
//     counted and exact odds that disagree, a height that is drawn larger than it is. All sentences
//     stand in words.txt, which finds numbers with the functions of said.go.
//
// Lines differ by colour, dash and mark; areas by lightness; what failed is hatched: nothing is
// told by colour alone. Colours come from package tint.
package graph
