package main

import (
	"context"
	"os"
	"os/signal"
	"sync/atomic"
	"syscall"
)

// untilSignal is a context that the first Ctrl-C or SIGTERM ends, after `tell` was called; the second leaves at once. caught is
// the number of the first one, 0 if there was none. Commands that keep nothing do without it: a signal ends them as it comes.
func untilSignal(parent context.Context, tell func()) (ctx context.Context, stop func(), caught func() int) {
	ctx, cancel := context.WithCancel(parent)
	incoming := make(chan os.Signal, 2)
	signal.Notify(incoming, os.Interrupt, syscall.SIGTERM)
	var first atomic.Int32
	go func() {
		for sig := range incoming {
			number, ok := sig.(syscall.Signal)
			if !ok {
				continue
			}
			if !first.CompareAndSwap(0, int32(number)) {
				os.Exit(exitSignal + int(number))
			}
			tell()
			cancel()
		}
	}()
	stop = func() {
		signal.Stop(incoming)
		close(incoming)
		cancel()
	}
	return ctx, stop, func() int { return int(first.Load()) }
}
