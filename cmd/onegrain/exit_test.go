package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"syscall"
	"testing"

	"github.com/sourcegraph/conc/panics"

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

// relay hands over the panic of another goroutine.
type relay struct{ from *panics.Recovered }

func (r relay) Write([]byte) (int, error) { panic(r.from) }

// A panic is said with the place that it came from, also where another goroutine has handed it
// over.
func TestNoPanicReachesTheUser(t *testing.T) {
	handed := make(chan *panics.Recovered)
	go func() { handed <- panics.Try(func() { _, _ = hollow{}.Write(nil) }) }()
	for _, out := range []io.Writer{hollow{}, relay{<-handed}} {
		var said bytes.Buffer
		code := execute([]string{"materials"}, streams{out: out, err: &said})
		if code != exitInternal || !strings.HasPrefix(said.String(), "internal error: a fault of this test; ") {
			t.Errorf("exit code %d: %s", code, said.String())
		}
		stack := said.String()
		if !strings.Contains(stack, "hollow.Write") || !strings.Contains(stack, "exit_test.go:") ||
			strings.Contains(stack, "relay.Write") {
			t.Errorf("it does not say where the panic came from: %s", stack)
		}
	}
}
