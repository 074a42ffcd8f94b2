package trial

import (
	"errors"
	"io"
	"io/fs"
	"sync"
)

// Failing is a disk of which operations fail. Fail is asked before every operation, numbered from
// 1, with its name and path; an error it returns is what the operation ends with, nothing done, but
// for ErrShort, which writes half of what was to be written. None fails where it is nil.
type Failing struct {
	Disk *Memory
	Fail func(n int, op, path string) error

	counting sync.Mutex
	n        int
}

// ErrShort from Failing.Fail is a write that stops half way without a reason, as io.ErrShortWrite.
// Other operations pass.
var ErrShort = errors.New("short write")

// Count is how many operations there were.
func (f *Failing) Count() int {
	f.counting.Lock()
	defer f.counting.Unlock()
	return f.n
}

// ask is the fate of the next operation; ErrShort of a write alone.
func (f *Failing) ask(op, path string) (err error) {
	f.counting.Lock()
	f.n++
	n := f.n
	f.counting.Unlock()
	if f.Fail != nil {
		err = f.Fail(n, op, path)
	}
	switch short := errors.Is(err, ErrShort); {
	case err == nil || short && op != "write":
		return nil
	case short:
		return ErrShort
	}
	return &fs.PathError{Op: op, Path: path, Err: err}
}

// at does something at a path, under the lock of the disk, unless it is to fail.
func (f *Failing) at(op, path string, do func(p place) error) error {
	if err := f.ask(op, path); err != nil {
		return err
	}
	f.Disk.mu.Lock()
	defer f.Disk.mu.Unlock()
	p, err := f.Disk.find(path)
	if err == nil {
		err = do(p)
	}
	if err != nil {
		return &fs.PathError{Op: op, Path: path, Err: err}
	}
	return nil
}

// file is open for writing.
type file struct {
	*Failing
	node *node
	path string
}

func (w *file) Write(p []byte) (int, error) {
	err := w.ask("write", w.path)
	if err == ErrShort {
		p, err = p[:len(p)/2], &fs.PathError{Op: "write", Path: w.path, Err: io.ErrShortWrite}
	} else if err != nil {
		return 0, err
	}
	w.Disk.mu.Lock()
	defer w.Disk.mu.Unlock()
	n := w.node
	n.data = append(n.data[:len(n.data):len(n.data)], p...)
	return len(p), err
}

func (w *file) Sync() error {
	err := w.ask("sync", w.path)
	w.Disk.mu.Lock()
	defer w.Disk.mu.Unlock()
	if err == nil && !w.Disk.LazyFiles {
		w.node.safe = w.node.data
	}
	return err
}

func (w *file) Close() error { return w.ask("close", w.path) }
