// Package strict reads a TOML file against a visible table of keys and says everything that is
// wrong with it at once.
//
// The steps for a file:
//
//  1. Syntax. The text is decoded once into plain maps and lists. Where it is no TOML the reading
//     ends there: lines with an everyday slip are explained, all at once, by the list in slips.txt.
//  2. Lines. A small scanner finds the line of every key and of every array element (lines.go),
//     because the decoder does not give them.
//  3. Fields. Every leaf is looked up in the Schema: unknown keys, wrong types, numbers that are
//     not finite, values out of range and lists of the wrong length become Problems with file,
//     line, key, value and what was wanted (read.go).
//  4. Completion. Once defaults and values from elsewhere are filled in, keys that are missing and
//     keys that mean nothing beside the others are found (document.go).
//  5. Document. What is left is a flat table from path to value ("schedule.stage.4.rate_K_per_h";
//     elements count from 1), from which a variant with some values exchanged is made without
//     reading the text again.
//
// The package knows no physics and opens no file.
package strict
