// Package border turns what a person writes (°C, degrees, texts) into what the engine takes (kelvin
// of undercooling, Go types). It and the packages laws and layout are the only places that convert
// units.
//
// The steps for a case:
//
//  1. Fields lists the keys of a study that decide the physics, with unit, range, default and
//     condition (fields.go, and in packages laws and layout).
//  2. Draft does all but the cells and is cheap enough for thousands of variants (case.go): the
//     body and its seeds, the laws, the schedule with what it would melt or dissolve (schedule.go).
//  3. Case adds the cells. What a converter has made once it remembers (memo.go).
//  4. Outlook says what a case comes to without growing it (outlook.go), Cost what that takes, and
//     which cells would fit the memory (cost.go).
//  5. Doubts finds what no furnace run can mean (doubts.go); stages and seeds are listed as rows
//     (rows.go).
package border
