package main

import (
	"errors"
	"os/exec"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"onegrain": main})
}

func TestStories(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata",
		RequireUniqueNames:  true,
		RequireExplicitExec: true,
		Cmds:                map[string]func(*testscript.TestScript, bool, []string){"exits": exits},
	})
}

// exits CODE COMMAND... runs a command that must end with that very code; its output can be looked at afterwards.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE COMMAND [ARGUMENT...]")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	var failed *exec.ExitError
	switch err := ts.Exec(args[1], args[2:]...); {
	case errors.As(err, &failed):
		got = failed.ExitCode()
	default:
		ts.Check(err)
	}
	if got != want {
		ts.Fatalf("exit code %d: wanted %d\n%s", got, want, ts.ReadFile("stderr"))
	}
}
