// Package table stores the rows of a study: Parquet files in one results folder, each published
// whole or not at all.
//
// The steps for a results folder:
//
//  1. Rows are gathered in a [Frame] of the columns of a [column.Schema], which refuses a value of
//     the wrong kind, a missing one, and NaN where a value has to be.
//  2. [Create] makes the folder and takes it for one version of a study and of the model
//     (version.go), puts the study there as given, and says in provenance.json who wrote what
//     (record.go).
//  3. Folder.Add publishes a frame as one more part file, runs/part-….parquet, Folder.Put as a file
//     of its own, cases.parquet, always whole or not at all (package disk). The name of a part is
//     taken from its bytes, so that two attempts at the same work can never spoil each other's
//     file. A part of runs is the receipt of a batch: it is published last and names the files that
//     hold the other rows of its runs.
//  4. Folder.Fail appends what went wrong to failures.jsonl, Folder.Seal writes the manifest with
//     the SHA-256 of each file (manifest.go).
//  5. [Open] and Folder.Table read a table back from all its parts, check every file against its
//     hash (read.go), and drop the rows of a run that an earlier part has already. A damaged file
//     is a [Corrupt] error that names the file and what to do (decode.go, sound.go). Folder.Done
//     leaves out runs of which rows are lost, so that they are run again. Folder.Recall first moves
//     what is of another version to a results folder of its own (earlier.go).
//  6. Folder.Merge makes few files of many by who has which run (claims.go), Folder.Audit checks
//     everything and finds what is lost, Folder.ContentHash is the same for all folders that hold
//     the same.
//  7. Laws that a logbook allows have a file of their own, which other programs may write, too:
//     [EncodeLaws] and [DecodeLaws] (laws.go, laws_read.go).
//
// Units are the study file's own: mm, h, K, °C, degrees; in the files they are UCUM codes.
package table
