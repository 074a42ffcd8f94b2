package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"syscall"

	"onegrain/studies"
	"onegrain/studies/cluster"
	"onegrain/studies/disk"
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
	exitRefused    = 7   // by the scheduler
	exitSignal     = 128 // plus the number of the signal
)

// coded is an error with its exit code.
type coded struct {
	error
	code int
}

func (c coded) Unwrap() error { return c.error }

// failure is an error with its exit code.
func failure(code int, format string, values ...any) error {
	return coded{fmt.Errorf(format, values...), code}
}

// usage marks an error that the user can mend on the command line or in the study.
func usage(err error) error {
	if err == nil {
		return nil
	}
	return coded{err, exitUsage}
}

// misused marks an error as one of usage, unless it has a code of its own.
func misused(err error) error {
	if codeOf(err) == exitInternal {
		return usage(err)
	}
	return err
}

// codeOf is the exit code of an error.
func codeOf(err error) int {
	var c coded
	var corrupt *table.Corrupt
	var problems studies.Problems
	var refused *cluster.Refused
	var taken *table.Taken
	switch {
	case err == nil:
		return exitDone
	case errors.As(err, &c):
		return c.code
	case errors.As(err, &corrupt):
		return exitCorrupt
	case errors.As(err, &refused):
		return exitRefused
	case errors.As(err, &problems), errors.As(err, &taken):
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

// quiet tells whether the reader of our output has gone away, as `onegrain example puck-window |
// head` does.
func quiet(err error) bool { return errors.Is(err, syscall.EPIPE) }

// storageCause says what can be done about a failure of storage.
func storageCause(err error) string {
	switch {
	case errors.Is(err, syscall.ENOSPC):
		return "the disk is full: make room on it"
	case errors.Is(err, syscall.EDQUOT):
		return "the quota is used up: make room, or have it raised"
	case errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.EROFS):
		return "this place must not be written to or read: change its permissions, or take another folder with --out"
	case errors.Is(err, disk.ErrInTheWay):
		return "results are never written through a link"
	case errors.Is(err, syscall.EIO):
		return "the disk or its connection is faulty: `onegrain audit` on the folder says what is sound"
	}
	return "the disk did not do what it was asked to"
}
