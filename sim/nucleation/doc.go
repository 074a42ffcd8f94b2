// Package nucleation says where, when and how turned grains start by themselves: the strays.
//
//  1. A law (package rate) gives the expected number of events per mm³ of melt or mm² of surface
//     along a straight piece of the programme.
//  2. A Hazard adds that up along the whole programme at a place that is some K hotter than the
//     reference point.
//  3. The body is its cells: each has a volume (melt) and perhaps areas (top, side, bottom); cells
//     of one temperature form a group.
//  4. Odds holds the hazards of all groups: the expected number of events in a cell until it is
//     captured.
//  5. Events draws the same process as a list: unit-mean exponential gaps laid along the expected
//     number, so there is no time step and no limit of one a cell; the place is uniform in the
//     chosen cell. An event in solid does not count; whether it lies in solid follows from the
//     growth of the grains.
//
// Before the body has been molten everywhere there is no nucleation. Units: K, mm, h.
package nucleation
