// Package record reads what the controller of a furnace has written down: a CSV file with time_h
// and temperature_C.
//
//  1. [Read] gives the readings in order of time. Of several at one hour the last counts. The
//     dialects of spreadsheets are those of package sheet.
//  2. A logger writes thousands of readings, which scatter by some hundredths of a kelvin.
//     Record.Simplified keeps so many of them that straight pieces between these are nowhere
//     further from any reading than a tolerance.
//
// Units: h, °C, K.
package record
