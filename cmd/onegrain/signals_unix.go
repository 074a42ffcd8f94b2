//go:build unix

package main

import "syscall"

// warning is the signal by which schedulers warn that the time of a task is nearly up.
const warning = syscall.SIGUSR1
