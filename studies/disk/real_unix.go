//go:build unix

package disk

import "syscall"

const (
	noFollow     = syscall.O_NOFOLLOW // open no link
	syncsFolders = true
)
