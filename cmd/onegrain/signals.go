package main

import (
	"context"
	"os"
	"os/signal"
	"sync/atomic"
	"syscall"
	"time"

	"github.com/sourcegraph/conc/panics"

	"onegrain/studies/run"
)

// grace is how long runs at work may go on after a signal. Schedulers kill soon after they have
// asked; what is finished has to be on the disk within 5 s.
const grace = 2 * time.Second

// untilSignal is a context that the first Ctrl-C, SIGTERM or SIGUSR1 (the warning that schedulers
// send before the time is up) ends, after `tell` was called; the second leaves at once. caught is
// the number of the first one, 0 if there was none. Commands that keep nothing do without it: a
// signal ends them as it comes.
func untilSignal(
	parent context.Context, tell func(syscall.Signal),
) (ctx context.Context, stop func(), caught func() int) {
	ctx, cancel := context.WithCancel(parent)
	incoming := make(chan os.Signal, 2)
	signal.Notify(incoming, os.Interrupt, syscall.SIGTERM, warning)
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
			tell(number)
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

// signalName is a signal as people know it.
func signalName(sig syscall.Signal) string {
	switch sig {
	case syscall.SIGINT:
		return "Ctrl-C"
	case syscall.SIGTERM:
		return "SIGTERM"
	}
	return "SIGUSR1"
}

// inTime runs a study. Some time after the context has ended it waits no longer for runs at work,
// and keeps what is finished.
func inTime(ctx context.Context, runner *run.Runner) (run.Summary, error) {
	var sum run.Summary
	var err error
	ended := make(chan *panics.Recovered, 1)
	go func() {
		ended <- panics.Try(func() { sum, err = runner.Run(ctx) })
	}()
	late := make(chan struct{})
	defer context.AfterFunc(ctx, func() {
		time.Sleep(grace)
		close(late)
	})()
	select {
	case fault := <-ended:
		if fault != nil {
			panic(fault) // for the guard of the command
		}
		return sum, err
	case <-late: // sum and err are still the other's
		left, err := runner.Leave()
		if err == nil {
			err = ctx.Err()
		}
		return left, err
	}
}
