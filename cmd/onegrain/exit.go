package main

import (
	"errors"
	"io/fs"
	"os"
	"syscall"

	"onegrain/studies/strict"
	"onegrain/studies/table"
)

// Exit codes, as the manual promises them.
const (
	exitDone       = 0
	exitInternal   = 1
	exitUsage      = 2 // wrong usage or invalid study
	exitSomeFailed = 3 // finished, some cases failed
	exitStopped    = 4 // stopped early, resumable with the same command
	exitStorage    = 5
	exitCorrupt    = 6
	exitSignal     = 128 // plus the number of the signal
)

// coded is an error with its exit code.
type coded struct {
	error
	code int
}

func (c coded) Unwrap() error { return c.error }

// usage marks an error that the user can mend on the command line or in the study.
func usage(err error) error {
	if err == nil {
		return nil
	}
	return coded{err, exitUsage}
}

// codeOf is the exit code of an error.
func codeOf(err error) int {
	var c coded
	var corrupt *table.Corrupt
	var problems strict.Problems
	switch {
	case err == nil:
		return exitDone
	case errors.As(err, &c):
		return c.code
	case errors.As(err, &corrupt):
		return exitCorrupt
	case errors.As(err, &problems):
		return exitUsage
	case isStorage(err):
		return exitStorage
	}
	return exitInternal
}

// isStorage tells whether an error came from the file system.
func isStorage(err error) bool {
	var path *fs.PathError
	var link *os.LinkError
	var call *os.SyscallError
	var number syscall.Errno
	return errors.As(err, &path) || errors.As(err, &link) || errors.As(err, &call) || errors.As(err, &number)
}

// quiet tells whether the reader of our output has gone away, as `onegrain example puck-window | head` does.
func quiet(err error) bool { return errors.Is(err, syscall.EPIPE) }
