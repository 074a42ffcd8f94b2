package trial

import (
	"errors"
	"io"
	"io/fs"
	"sync"

	"onegrain/studies/disk"
)

// Failing stands before a disk. Fail is asked before every operation, numbered from 1, with its name and path; an error it
// returns is what the operation ends with, nothing done, but for ErrShort, which writes half of what was to be written.
type Failing struct {
	Disk disk.Disk
	Fail func(n int, op, path string) error

	mu sync.Mutex
	n  int
}

// ErrShort from Failing.Fail is a write that stops half way without a reason, as io.ErrShortWrite. Other operations pass.
var ErrShort = errors.New("short write")

// Count is how many operations there were.
func (f *Failing) Count() int {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.n
}

// ask is the fate of the next operation.
func (f *Failing) ask(op, path string) error {
	f.mu.Lock()
	f.n++
	n := f.n
	f.mu.Unlock()
	err := f.Fail(n, op, path)
	if err == nil || errors.Is(err, ErrShort) {
		return err
	}
	return &fs.PathError{Op: op, Path: path, Err: err}
}

// may is ask for all but writes.
func (f *Failing) may(op, path string) error {
	if err := f.ask(op, path); err != nil && !errors.Is(err, ErrShort) {
		return err
	}
	return nil
}

// ReadFile reads a file.
func (f *Failing) ReadFile(path string) ([]byte, error) {
	if err := f.may("read", path); err != nil {
		return nil, err
	}
	return f.Disk.ReadFile(path)
}

// ReadDir lists a folder.
func (f *Failing) ReadDir(path string) ([]fs.DirEntry, error) {
	if err := f.may("open", path); err != nil {
		return nil, err
	}
	return f.Disk.ReadDir(path)
}

// Stat tells of a file.
func (f *Failing) Stat(path string) (fs.FileInfo, error) {
	if err := f.may("stat", path); err != nil {
		return nil, err
	}
	return f.Disk.Stat(path)
}

// Mkdir makes a folder.
func (f *Failing) Mkdir(path string) error {
	if err := f.may("mkdir", path); err != nil {
		return err
	}
	return f.Disk.Mkdir(path)
}

// Create makes a file.
func (f *Failing) Create(path string) (disk.File, error) {
	if err := f.may("create", path); err != nil {
		return nil, err
	}
	return f.open(path)(f.Disk.Create(path))
}

// Append opens a file for writing at its end.
func (f *Failing) Append(path string) (disk.File, error) {
	if err := f.may("append", path); err != nil {
		return nil, err
	}
	return f.open(path)(f.Disk.Append(path))
}

// Rename renames a file.
func (f *Failing) Rename(from, to string) error {
	if err := f.may("rename", to); err != nil {
		return err
	}
	return f.Disk.Rename(from, to)
}

// Link gives a file a second name.
func (f *Failing) Link(from, to string) error {
	if err := f.may("link", to); err != nil {
		return err
	}
	return f.Disk.Link(from, to)
}

// Remove takes away a file.
func (f *Failing) Remove(path string) error {
	if err := f.may("remove", path); err != nil {
		return err
	}
	return f.Disk.Remove(path)
}

// SyncFolder syncs a folder.
func (f *Failing) SyncFolder(path string) error {
	if err := f.may("sync folder", path); err != nil {
		return err
	}
	return f.Disk.SyncFolder(path)
}

func (f *Failing) open(path string) func(disk.File, error) (disk.File, error) {
	return func(inner disk.File, err error) (disk.File, error) {
		if err != nil {
			return nil, err
		}
		return &failingFile{f, inner, path}, nil
	}
}

type failingFile struct {
	f     *Failing
	inner disk.File
	path  string
}

func (w *failingFile) Write(p []byte) (int, error) {
	err := w.f.ask("write", w.path)
	switch {
	case errors.Is(err, ErrShort):
		n, err := w.inner.Write(p[:len(p)/2])
		if err == nil {
			err = &fs.PathError{Op: "write", Path: w.path, Err: io.ErrShortWrite}
		}
		return n, err
	case err != nil:
		return 0, err
	}
	return w.inner.Write(p)
}

func (w *failingFile) Sync() error {
	if err := w.f.may("sync", w.path); err != nil {
		return err
	}
	return w.inner.Sync()
}

func (w *failingFile) Close() error {
	err := w.f.may("close", w.path)
	return errors.Join(err, w.inner.Close())
}
