// Command onegrain answers one question before a week of furnace time is spent: at which
// undercooling, cooled how fast, with which seeds, will a melt-textured body become one grain, and
// how large will its clear piece be?
//
//  1. main hands the arguments and the three streams to the tree of commands (root.go).
//  2. A command is flags, one call, and print: a function of its streams and arguments to an error,
//     one file for each.
//  3. Its page of help is a file of the folder help (texts.go); data go to stdout, everything else
//     to stderr (streams.go).
//  4. The error decides the exit code (exit.go).
package main

import "os"

func main() {
	os.Exit(execute(os.Args[1:], streams{in: os.Stdin, out: os.Stdout, err: os.Stderr}))
}
