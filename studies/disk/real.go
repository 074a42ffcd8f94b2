package disk

import (
	"errors"
	"io/fs"
	"os"
	"syscall"
)

// Real is the machine's own file system.
func Real() Disk { return real{} }

type real struct{}

func (real) ReadFile(path string) ([]byte, error)       { return os.ReadFile(path) }
func (real) ReadDir(path string) ([]fs.DirEntry, error) { return os.ReadDir(path) }
func (real) Stat(path string) (fs.FileInfo, error)      { return os.Stat(path) }
func (real) Rename(from, to string) error               { return os.Rename(from, to) }
func (real) Link(from, to string) error                 { return os.Link(from, to) }
func (real) Remove(path string) error                   { return os.Remove(path) }

func (real) Mkdir(path string) error {
	err := os.Mkdir(path, 0o777)
	if info, look := os.Lstat(path); errors.Is(err, fs.ErrExist) && look == nil && !info.IsDir() {
		return &fs.PathError{Op: "mkdir", Path: path, Err: ErrInTheWay}
	}
	return err
}

func (real) Create(path string) (File, error) {
	return opened(os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o666))
}

func (real) Append(path string) (File, error) {
	f, err := os.OpenFile(path, os.O_APPEND|os.O_CREATE|os.O_WRONLY|noFollow, 0o666)
	if errors.Is(err, syscall.ELOOP) {
		err = &fs.PathError{Op: "append", Path: path, Err: ErrInTheWay}
	}
	return opened(f, err)
}

// opened keeps a nil *os.File from becoming a File that is not nil.
func opened(f *os.File, err error) (File, error) {
	if err != nil {
		return nil, err
	}
	return f, nil
}

// SyncFolder takes for done what a system or a file system cannot do: some on networks refuse to
// sync a folder, and have it safe already.
func (real) SyncFolder(path string) error {
	d, err := os.Open(path)
	if err != nil {
		return err
	}
	defer d.Close()
	if !syncsFolders {
		return nil
	}
	if err := d.Sync(); err != nil && !errors.Is(err, syscall.EINVAL) && !errors.Is(err, syscall.ENOTSUP) {
		return err
	}
	return nil
}
