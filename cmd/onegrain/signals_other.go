//go:build !unix

package main

import "syscall"

// warning is never sent: schedulers of clusters warn by signals of Unix.
const warning = syscall.Signal(-1)
