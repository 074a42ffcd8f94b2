// Package disk puts files in place whole or not at all, whatever stops the program or the machine.
//
//  1. [Disk] is all that results need of a file system; [Real] is the machine's own. Tests hand in
//     others, which fail or lose their power (package trial).
//  2. [Publish] writes a file under another name in the same folder, one that no reader takes for a
//     result, has it on the disk, renames it, and has the folder on the disk, without which the new
//     name may be lost with the power.
//  3. [MkdirAll] makes folders that are still there after a power cut.
//  4. [Put] is the one way to write a file into a folder that may come from somebody else: nothing
//     below it is followed where it is a link.
package disk

import (
	"bufio"
	"errors"
	"io"
	"io/fs"
	"math/rand/v2"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
)

// Disk is a file system. Errors are those of package os: they wrap fs.ErrNotExist, syscall.ENOSPC
// and so on.
type Disk interface {
	ReadFile(path string) ([]byte, error)       // the whole of it
	ReadDir(path string) ([]fs.DirEntry, error) // by name
	Stat(path string) (fs.FileInfo, error)      // of what the name leads to
	// one folder; fs.ErrExist where there is one, ErrInTheWay where something else is
	Mkdir(path string) error
	Create(path string) (File, error) // a new file; fs.ErrExist where there is one
	// for writing at its end, made where there is none; ErrInTheWay where a link is
	Append(path string) (File, error)
	Rename(from, to string) error // within a folder; takes the place of what is called `to`
	Link(from, to string) error   // a second name for a file; fs.ErrExist where something is called `to`
	Remove(path string) error     // a file or an empty folder
	SyncFolder(path string) error // when it returns, the names in the folder survive a power cut
}

// File is open for writing.
type File interface {
	io.Writer
	Sync() error  // when it returns, what was written survives a power cut
	Close() error // the file stays as it is
}

// ErrInTheWay says that something is where a folder or file of results has to be: a file, or a
// link, which could lead anywhere.
var ErrInTheWay = errors.New("a file or a link of that name is in the way: " +
	"remove it, or choose another folder with --out")

// Bytes writes what is at hand, for Put and its like.
func Bytes(data []byte) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	}
}

const unfinished = ".unfinished-"

// Unfinished says whether a name is that of a file still being written, or left behind by a
// program that was killed.
func Unfinished(name string) bool { return strings.HasPrefix(filepath.Base(name), unfinished) }

// Publish puts what write writes in place at path, whole or not at all. Where it fails, what was
// there before is there still.
func Publish(d Disk, path string, write func(io.Writer) error) error {
	return publish(d, path, write, d.Rename)
}

// InOrder does one step after the other, up to the first that fails.
func InOrder(steps ...func() error) error {
	for _, step := range steps {
		if err := step(); err != nil {
			return err
		}
	}
	return nil
}

func publish(d Disk, path string, write func(io.Writer) error, place func(from, to string) error) error {
	around := filepath.Dir(path)
	temporary := filepath.Join(around, unfinished+strconv.FormatUint(rand.Uint64(), 36))
	f, err := d.Create(temporary)
	if err != nil {
		return err
	}
	w := bufio.NewWriterSize(f, 1<<15)
	err = InOrder(func() error { return write(w) }, w.Flush, f.Sync, f.Close,
		func() error { return place(temporary, path) }, func() error { return d.SyncFolder(around) })
	if err != nil {
		f.Close()
		d.Remove(temporary)
	}
	return err
}

// MkdirAll makes a folder and those around it where they are missing.
func MkdirAll(d Disk, dir string) error {
	info, err := d.Stat(dir)
	switch {
	case err == nil && info.IsDir():
		return nil
	case err == nil:
		return &fs.PathError{Op: "mkdir", Path: dir, Err: ErrInTheWay}
	case !errors.Is(err, fs.ErrNotExist):
		return err
	}
	around := filepath.Dir(dir)
	if around != dir {
		if err := MkdirAll(d, around); err != nil {
			return err
		}
	}
	return made(d, dir, around)
}

// Put publishes a file below a folder, its name with slashes as in "runs/part.parquet", and makes
// the folders between them. What is a link is not followed there: the file takes the place of one,
// and a folder that is one is ErrInTheWay. The folder itself may lie behind links, as whoever named
// it likes.
func Put(d Disk, dir, name string, write func(io.Writer) error) error {
	return putBelow(d, dir, name, write, d.Rename)
}

func putBelow(d Disk, dir, name string, write func(io.Writer) error, place func(from, to string) error) error {
	return InOrder(func() error { return MkdirBelow(d, dir, filepath.Dir(name)) },
		func() error { return publish(d, filepath.Join(dir, name), write, place) })
}

// PutNew is Put for a file that must not be there yet: of several programs that try, on any
// machines that share the disk, one succeeds, and the error of the others is fs.ErrExist. Where a
// disk knows no second names for a file, two at the very same moment may both succeed; the later
// one counts, so look what is there afterwards. On a network one that has succeeded may be told
// that it has not, so look then too.
func PutNew(d Disk, dir, name string, write func(io.Writer) error) error {
	return putBelow(d, dir, name, write, func(from, to string) error {
		err := d.Link(from, to)
		if errors.Is(err, syscall.EPERM) || errors.Is(err, syscall.ENOTSUP) || errors.Is(err, syscall.ENOSYS) {
			if _, err := d.Stat(to); !errors.Is(err, fs.ErrNotExist) {
				return errors.Join(err, &fs.PathError{Op: "link", Path: to, Err: fs.ErrExist})
			}
			return d.Rename(from, to)
		}
		if err != nil {
			return err
		}
		return d.Remove(from)
	})
}

// MkdirBelow makes folders below a folder, as "earlier/first", where they are missing. None of them
// may be a link.
func MkdirBelow(d Disk, dir, name string) error {
	for _, part := range strings.Split(filepath.ToSlash(filepath.Clean(name)), "/") {
		if part == "." {
			continue
		}
		around := dir
		dir = filepath.Join(dir, part)
		if err := made(d, dir, around); err != nil { // synced also where it was there: another process may just have made it
			return err
		}
	}
	return nil
}

// made has a folder in the one around it, for certain.
func made(d Disk, dir, around string) error {
	if err := d.Mkdir(dir); err != nil && !errors.Is(err, fs.ErrExist) {
		return err
	}
	return d.SyncFolder(around)
}
