// Package furnace says how cold it is where and when: the programme of the controller, and a static
// gradient.
//
//  1. A person writes a Schedule: a starting temperature and stages (heat or cool to a temperature
//     at a rate, or hold).
//  2. Schedule.Programme turns it into a Programme: the undercooling at the reference point (the
//     centre of the top face) as straight pieces between knots.
//  3. A Gradient adds an offset in K at every place: ΔT(place, t) = programme(t) − offset(place).
//  4. Cooling is both together: what every place of a body sees. Growth, nucleation and measures
//     ask it and nothing else, so a field of temperature of another kind takes its place here.
//  5. Nothing grows or nucleates before the body has been molten everywhere; Seen cuts out what a
//     place sees from then on, GrowthStartH and GrowthKnots what follows its first undercooling.
//  6. Schedule.Check finds what cannot work: a body that never melts or never solidifies, a grain
//     that melts again, a seed that dissolves.
package furnace
