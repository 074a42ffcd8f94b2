package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"syscall"
	"testing"
	"time"

	"onegrain/studies/strict"
	"onegrain/studies/table"
)

func TestEveryErrorHasItsCode(t *testing.T) {
	_, missing := os.ReadFile("nothing here")
	for _, c := range []struct {
		err  error
		want int
	}{
		{nil, exitDone},
		{errors.New("odd"), exitInternal},
		{usage(errors.New("wrong")), exitUsage},
		{strict.Problems{{File: "a.toml", Wanted: "b"}}, exitUsage},
		{missing, exitStorage},
		{fmt.Errorf("writing: %w", syscall.ENOSPC), exitStorage},
		{fmt.Errorf("reading: %w", &table.Corrupt{File: "f", Why: "w"}), exitCorrupt},
		{coded{errors.New("some"), exitSomeFailed}, exitSomeFailed},
		{fmt.Errorf("late: %w", coded{missing, exitStopped}), exitStopped},
	} {
		if got := codeOf(c.err); got != c.want {
			t.Errorf("%v: exit code %d: wanted %d", c.err, got, c.want)
		}
	}
}

func TestTheFirstSignalEndsTheContext(t *testing.T) {
	ctx, stop, caught := untilSignal(context.Background(), func() {})
	defer stop()
	if caught() != 0 {
		t.Fatal("a signal before any was sent")
	}
	if err := syscall.Kill(os.Getpid(), syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	select {
	case <-ctx.Done():
	case <-time.After(5 * time.Second):
		t.Fatal("the context goes on after SIGTERM")
	}
	if caught() != int(syscall.SIGTERM) {
		t.Errorf("caught signal %d: wanted %d", caught(), syscall.SIGTERM)
	}
}
