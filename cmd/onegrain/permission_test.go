//go:build unix

package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// nobody is a user without rights, for tests of permissions, which root does not feel.
const nobody = 65534

// A folder that must not be written to can be shown and audited; what would write says so and ends
// with the code of storage.
func TestAFolderThatMustNotBeWrittenTo(t *testing.T) {
	path := binary(t)
	if os.Getuid() == 0 { // nobody has to be able to reach the program
		copied := filepath.Join(publicFolder(t), "onegrain")
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(copied, data, 0o755); err != nil {
			t.Fatal(err)
		}
		path = copied
	}
	root := publicFolder(t)
	study := filepath.Join(root, "quick.toml")
	if err := os.WriteFile(study, []byte(quick), 0o644); err != nil {
		t.Fatal(err)
	}
	dir := filepath.Join(root, "r")
	if code, said := (program{path}).run("run", study, "--out", dir); code != exitDone {
		t.Fatalf("exit code %d: %s", code, said)
	}
	lock(t, dir, 0o555)
	defer lock(t, dir, 0o755)
	more := filepath.Join(root, "more.toml")
	if err := os.WriteFile(more, []byte(strings.Replace(quick, "[1, 5]", "[1, 2, 5]", 1)), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		line []string
		code int
	}{
		{[]string{"show", dir}, exitDone},
		{[]string{"audit", dir}, exitDone},
		{[]string{"run", more, "--out", dir}, exitStorage},
		{[]string{"run", more, "--out", filepath.Join(dir, "inner")}, exitStorage},
	} {
		command := exec.Command(path, c.line...)
		if os.Getuid() == 0 {
			command.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: nobody, Gid: nobody}}
		}
		var said bytes.Buffer
		command.Stderr = &said
		code := exitCode(command.Run())
		if code != c.code || code == exitStorage && !(strings.Contains(said.String(), "permission denied") &&
			strings.Contains(said.String(), "what was finished is kept, and the same command continues")) {
			t.Errorf("%v: exit code %d, wanted %d\n%s", c.line, code, c.code, said.String())
		}
	}
}

// publicFolder is a temporary folder that every user can reach.
func publicFolder(t *testing.T) string {
	t.Helper()
	dir, err := os.MkdirTemp("", "onegrain-public-*")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	if err := os.Chmod(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	return dir
}

// lock gives all folders in a folder, and itself, these rights.
func lock(t *testing.T, dir string, mode os.FileMode) {
	t.Helper()
	err := filepath.WalkDir(dir, func(path string, e os.DirEntry, err error) error {
		if err == nil && e.IsDir() {
			err = os.Chmod(path, mode)
		}
		return err
	})
	if err != nil {
		t.Error(err)
	}
}
