package trial

import (
	"errors"
	"io"
	"io/fs"
	"sync"

	"onegrain/studies/disk"
)

// Failing stands before a disk. Fail is asked before every operation, numbered from 1, with its
// name and path; an error it returns is what the operation ends with, nothing done, but for
// ErrShort, which writes half of what was to be written.
type Failing struct {
	Disk disk.Disk
	Fail func(n int, op, path string) error

	mu sync.Mutex
	n  int
}

// ErrShort from Failing.Fail is a write that stops half way without a reason, as io.ErrShortWrite.
// Other operations pass.
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

// do does an operation that is no write, unless it is to fail.
func (f *Failing) do(op, path string, do func(path string) error) error {
	if err := f.ask(op, path); err != nil && !errors.Is(err, ErrShort) {
		return err
	}
	return do(path)
}

// get is do with a result.
func get[T any](f *Failing, op, path string, do func(path string) (T, error)) (result T, err error) {
	err = f.do(op, path, func(path string) (err error) {
		result, err = do(path)
		return err
	})
	return result, err
}

// ReadFile reads a file.
func (f *Failing) ReadFile(path string) ([]byte, error) { return get(f, "read", path, f.Disk.ReadFile) }

// ReadDir lists a folder.
func (f *Failing) ReadDir(path string) ([]fs.DirEntry, error) {
	return get(f, "open", path, f.Disk.ReadDir)
}

// Stat describes a file.
func (f *Failing) Stat(path string) (fs.FileInfo, error) { return get(f, "stat", path, f.Disk.Stat) }

// Mkdir makes a folder.
func (f *Failing) Mkdir(path string) error { return f.do("mkdir", path, f.Disk.Mkdir) }

// Create makes a file.
func (f *Failing) Create(path string) (disk.File, error) {
	return f.open("create", path, f.Disk.Create)
}

// Append opens a file for writing at its end.
func (f *Failing) Append(path string) (disk.File, error) {
	return f.open("append", path, f.Disk.Append)
}

// Rename renames a file.
func (f *Failing) Rename(from, to string) error {
	return f.do("rename", to, func(to string) error { return f.Disk.Rename(from, to) })
}

// Link gives a file a second name.
func (f *Failing) Link(from, to string) error {
	return f.do("link", to, func(to string) error { return f.Disk.Link(from, to) })
}

// Remove takes away a file.
func (f *Failing) Remove(path string) error { return f.do("remove", path, f.Disk.Remove) }

// SyncFolder syncs a folder.
func (f *Failing) SyncFolder(path string) error { return f.do("sync folder", path, f.Disk.SyncFolder) }

func (f *Failing) open(op, path string, open func(path string) (disk.File, error)) (disk.File, error) {
	return get(f, op, path, func(path string) (disk.File, error) {
		inner, err := open(path)
		if err != nil {
			return nil, err
		}
		return &failingFile{f, inner, path}, nil
	})
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
	return w.f.do("sync", w.path, func(string) error { return w.inner.Sync() })
}

// Close closes the file even where it fails.
func (w *failingFile) Close() error {
	return errors.Join(w.f.do("close", w.path, func(string) error { return nil }), w.inner.Close())
}
