//go:build unix

package main

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"onegrain/studies/table"
)

// slow is a study of two cases: one whose runs take milliseconds, and one of which a single run
// takes far longer than any scheduler waits.
func slow() string {
	text := strings.NewReplacer("plane = \"ab\"\nthickness_mm = 1\ndiameter_mm = 9\ncell_mm = 1", "diameter_mm = "+
		"20\nheight_mm = 10\ncell_mm = 1",
		"key = \"schedule.stage.3.rate_K_per_h\"\nname = \"cooling_rate_K_per_h\"\nvalues = [1, 5]",
		"key = \"body.cell_mm\"\nvalues = [1, 0.05]").Replace(quick)
	text = text[:strings.Index(text, "[keep]")]
	return text + "[nucleation.melt]\nlaw = \"barrier\"\nprefactor_per_mm3_h = 1e6\nbarrier_K3 = 1e6\n"
}

// A signal is obeyed within 5 s, though a run is at work that takes longer; what was finished is
// kept; a second one is obeyed at once.
func TestSignalsAreObeyed(t *testing.T) {
	path := binary(t)
	study := quickStudy(t, slow())
	for _, c := range []struct {
		name    string
		signals []syscall.Signal
		code    int
		within  time.Duration
		kept    bool
	}{
		{"Ctrl-C", []syscall.Signal{syscall.SIGINT}, 130, 5 * time.Second, true},
		{"SIGTERM", []syscall.Signal{syscall.SIGTERM}, 143, 5 * time.Second, true},
		{"the scheduler's warning", []syscall.Signal{syscall.SIGUSR1}, exitStopped, 5 * time.Second, true},
		{"Ctrl-C twice", []syscall.Signal{syscall.SIGINT, syscall.SIGINT}, 130, 2 * time.Second, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			dir := filepath.Join(t.TempDir(), "r")
			command := exec.Command(path, "run", study, "--out", dir, "--workers", "1")
			var said bytes.Buffer
			command.Stderr = &said
			if err := command.Start(); err != nil {
				t.Fatal(err)
			}
			time.Sleep(4 * time.Second) // the quick runs are done, the long one is at work
			start := time.Now()
			for _, sig := range c.signals {
				if err := command.Process.Signal(sig); err != nil {
					t.Fatal(err)
				}
				time.Sleep(200 * time.Millisecond)
			}
			code := exitCode(command.Wait())
			took := time.Since(start)
			if code != c.code || took > c.within {
				t.Errorf("exit code %d after %.1f s: wanted %d within %.0f s\n%s", code, took.Seconds(), c.code, c.within.Seconds(),
					said.String())
			}
			if !c.kept {
				return
			}
			message := regexp.MustCompile(`stopped after ([1-9]\d*) runs?; ` +
				`what is finished is kept, and the same command continues: onegrain run`)
			told := message.FindStringSubmatch(said.String())
			if told == nil {
				t.Fatalf("it says %s", said.String())
			}
			f, err := table.Open(dir)
			if err != nil {
				t.Fatal(err)
			}
			done, err := f.Done()
			if err != nil || strconv.Itoa(done.Len()) != told[1] {
				t.Errorf("%d runs are kept, %v: it said %s", done.Len(), err, told[1])
			}
			if a, err := f.Audit(nil); err != nil || len(a.Damage) > 0 {
				t.Errorf("audit: %+v, %v", a, err)
			}
		})
	}
}

func TestTheFirstSignalEndsTheContext(t *testing.T) {
	ctx, stop, caught := untilSignal(context.Background(), func(syscall.Signal) {})
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
