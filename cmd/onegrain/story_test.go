package main

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

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
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"exits": exits, "await": await,
			"hurt": hurt, "lawsfile": lawsFile, "samecontent": sameContent, "copyparts": copyParts},
	})
}

// exits CODE COMMAND... runs a command that must end with that very code; its output can be looked
// at afterwards.
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

// await PATTERN waits until a file of that pattern exists.
func await(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: await PATTERN")
	}
	for end := time.Now().Add(30 * time.Second); time.Now().Before(end); time.Sleep(5 * time.Millisecond) {
		if found, err := filepath.Glob(ts.MkAbs(args[0])); err == nil && len(found) > 0 {
			return
		}
	}
	ts.Fatalf("no %s after 30 s", args[0])
}

// hurt PATTERN flips a bit in the middle of every file of that pattern.
func hurt(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: hurt PATTERN")
	}
	found, err := filepath.Glob(ts.MkAbs(args[0]))
	ts.Check(err)
	for _, path := range found {
		data, err := os.ReadFile(path)
		ts.Check(err)
		data[len(data)/2] ^= 1
		ts.Check(os.WriteFile(path, data, 0o644))
	}
	if len(found) == 0 {
		ts.Fatalf("no %s", args[0])
	}
}

// sameContent FILE FILE compares the line that tells the hash of the content, as `audit` prints it.
func sameContent(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 2 {
		ts.Fatalf("usage: samecontent FILE FILE")
	}
	var lines [2]string
	for i, name := range args {
		for line := range strings.Lines(ts.ReadFile(name)) {
			if strings.HasPrefix(line, "content ") {
				lines[i] = line
			}
		}
	}
	if same := lines[0] == lines[1] && lines[0] != ""; same == neg {
		ts.Fatalf("contents %q and %q", lines[0], lines[1])
	}
}

// copyParts FROM TO copies the files of one folder into another.
func copyParts(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: copyparts FROM TO")
	}
	ts.Check(copyFiles(ts.MkAbs(args[0]), ts.MkAbs(args[1])))
}

func copyFiles(from, to string) error {
	list, err := os.ReadDir(from)
	if err != nil {
		return err
	}
	for _, e := range list {
		data, err := os.ReadFile(filepath.Join(from, e.Name()))
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(to, e.Name()), data, 0o644); err != nil {
			return err
		}
	}
	return nil
}
