package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"strings"
	"syscall"
	"testing"

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

// hollow fails in a way no writer should.
type hollow struct{}

func (hollow) Write([]byte) (int, error) { panic("a fault of this test") }

// A panic is said with the place that it came from, also where another goroutine has handed it
// over.
func TestNoPanicReachesTheUser(t *testing.T) {
	handed := make(chan *panicked)
	go func() {
		defer func() { handed <- panickedOf(recover()) }()
		_, _ = hollow{}.Write(nil)
	}()
	from := <-handed
	if panickedOf(from) != from || panickedOf(nil) != nil {
		t.Error("what was handed over is another panic, or nothing is one")
	}
	var said bytes.Buffer
	code := execute([]string{"materials"}, streams{out: hollow{}, err: &said})
	if code != exitInternal || !strings.HasPrefix(said.String(), "internal error: a fault of this test; ") {
		t.Errorf("exit code %d: %s", code, said.String())
	}
	for _, stack := range []string{said.String(), string(from.stack)} {
		if !strings.Contains(stack, "hollow.Write") || !strings.Contains(stack, "exit_test.go:") {
			t.Errorf("it does not say where the panic came from: %s", stack)
		}
	}
}
