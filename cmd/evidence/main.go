// Command evidence compares the program with results found outside the project, through the same
// door a user takes, and writes one page of it. It is for developers: `make evidence`.
//
//  1. main reads the flags and makes a folder for the studies, which is removed at the end.
//  2. The battery (cmd/evidence/battery) runs, with as many studies at a time as there are cores.
//  3. The page is written three times: evidence.md, evidence.html, evidence.json.
//  4. The command fails if a finding differs from its source, or if a canary passes.
package main

import (
	"fmt"
	"os"
)

func main() {
	if err := run(os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "evidence:", err)
		os.Exit(1)
	}
}
