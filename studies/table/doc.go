// Package table keeps the rows of a study: Parquet files in one results folder, each published whole or not at all.
//
// The story of a results folder:
//
//  1. [Of] names the columns of a table (columns.go is the list), with the varied columns of the study put in.
//  2. Rows are gathered in a [Frame], which refuses a value of the wrong kind, a missing one, and NaN.
//  3. [Create] makes the folder, keeps the study as given, and says in provenance.json who wrote what with which version.
//  4. Folder.Add publishes a frame as one more part file, runs/part-….parquet, Folder.Put as a file of its own,
//     cases.parquet: a temporary name in the same folder, fsync, rename, fsync of the folder. The name of a part is
//     taken from its bytes, so that two attempts at the same work can never spoil each other's file.
//  5. Folder.Fail appends what went wrong to failures.jsonl, Folder.Seal writes the manifest with the SHA-256 of each file.
//  6. [Open] and Folder.Table read a table back from all its parts, prove every file against its hash, and drop the rows of
//     a run that an earlier part has already told. A damaged file is a [Corrupt] error that names the file.
//
// Units are the study file's own: mm, h, K, °C, degrees; in the files they stand as UCUM codes.
package table
