// Package trial has disks to try a program on: one in memory that can lose its power, and one that fails when told to.
//
//  1. [Memory] keeps beside what programs see what is safe: the bytes a file had when it was last synced, and the names a folder had.
//  2. Memory.PowerLoss is the disk that is found afterwards: of what was not synced any part may be there, drawn at random
//     from the source it is given, so that a history can be played again.
//  3. [Failing] stands before another disk and lets chosen operations fail, as a full or broken one would, or all of them from
//     some moment on.
package trial

import (
	"io/fs"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"syscall"
	"time"

	"onegrain/studies/disk"
)

// Memory is a disk in memory. LazyFiles and LazyFolders say that syncing a file or a folder does nothing: canaries.
type Memory struct {
	LazyFiles, LazyFolders bool

	mu   sync.Mutex
	root *node
}

// node is a file or a folder.
type node struct {
	folder  bool
	data    []byte           // of a file, as programs see it; never changed in place
	safe    []byte           // what survives for certain
	names   map[string]*node // of a folder, as programs see it
	sure    map[string]*node // what survives for certain
	pending []change         // since then, in order
}

// change of the names in a folder: gone is taken away, name put in.
type change struct {
	gone, name string
	node       *node
}

// NewMemory is an empty disk.
func NewMemory() *Memory { return &Memory{root: newFolder()} }

func newFolder() *node {
	return &node{folder: true, names: map[string]*node{}, sure: map[string]*node{}}
}

func (n *node) apply(c change) {
	n.change(n.names, c)
	n.pending = append(n.pending, c)
}

func (*node) change(names map[string]*node, c change) {
	if c.gone != "" {
		delete(names, c.gone)
	}
	if c.name != "" {
		names[c.name] = c.node
	}
}

// find walks to a path; the last name may be missing, then the node is nil.
func (m *Memory) find(op, path string) (around *node, name string, n *node, err error) {
	n = m.root
	for part := range strings.SplitSeq(filepath.ToSlash(filepath.Clean(path)), "/") {
		if part == "" || part == "." {
			continue
		}
		if n == nil {
			return nil, "", nil, &fs.PathError{Op: op, Path: path, Err: syscall.ENOENT}
		}
		if !n.folder {
			return nil, "", nil, &fs.PathError{Op: op, Path: path, Err: syscall.ENOTDIR}
		}
		around, name, n = n, part, n.names[part]
	}
	return around, name, n, nil
}

// there is what find finds, or an error.
func (m *Memory) there(op, path string, folder bool) (*node, error) {
	_, _, n, err := m.find(op, path)
	switch {
	case err != nil:
		return nil, err
	case n == nil:
		return nil, &fs.PathError{Op: op, Path: path, Err: syscall.ENOENT}
	case n.folder && !folder:
		return nil, &fs.PathError{Op: op, Path: path, Err: syscall.EISDIR}
	case !n.folder && folder:
		return nil, &fs.PathError{Op: op, Path: path, Err: syscall.ENOTDIR}
	}
	return n, nil
}

// ReadFile reads a file.
func (m *Memory) ReadFile(path string) ([]byte, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	n, err := m.there("read", path, false)
	if err != nil {
		return nil, err
	}
	return slices.Clone(n.data), nil
}

// ReadDir lists a folder by name.
func (m *Memory) ReadDir(path string) ([]fs.DirEntry, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	n, err := m.there("open", path, true)
	if err != nil {
		return nil, err
	}
	var list []fs.DirEntry
	for _, name := range slices.Sorted(maps.Keys(n.names)) {
		list = append(list, fs.FileInfoToDirEntry(info{name, n.names[name]}))
	}
	return list, nil
}

// Stat tells of a file or folder; times are not kept.
func (m *Memory) Stat(path string) (fs.FileInfo, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	_, name, n, err := m.find("stat", path)
	if err != nil {
		return nil, err
	}
	if n == nil {
		return nil, &fs.PathError{Op: "stat", Path: path, Err: syscall.ENOENT}
	}
	return info{name, n}, nil
}

// Mkdir makes a folder.
func (m *Memory) Mkdir(path string) error { return m.put("mkdir", path, newFolder()) }

// put gives a new node a name.
func (m *Memory) put(op, path string, n *node) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	around, name, old, err := m.find(op, path)
	if err != nil {
		return err
	}
	if old != nil && !old.folder && n.folder && around != nil {
		return &fs.PathError{Op: op, Path: path, Err: disk.ErrInTheWay}
	}
	if around == nil || old != nil {
		return &fs.PathError{Op: op, Path: path, Err: syscall.EEXIST}
	}
	around.apply(change{name: name, node: n})
	return nil
}

// Create makes a file.
func (m *Memory) Create(path string) (disk.File, error) {
	n := &node{}
	if err := m.put("open", path, n); err != nil {
		return nil, err
	}
	return &file{m, n}, nil
}

// Append opens a file for writing at its end.
func (m *Memory) Append(path string) (disk.File, error) {
	m.mu.Lock()
	_, _, n, err := m.find("open", path)
	m.mu.Unlock()
	switch {
	case err != nil:
		return nil, err
	case n == nil:
		return m.Create(path)
	case n.folder:
		return nil, &fs.PathError{Op: "open", Path: path, Err: syscall.EISDIR}
	}
	return &file{m, n}, nil
}

// Rename gives a file another name in the same folder.
func (m *Memory) Rename(from, to string) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	around, name, n, err := m.find("rename", from)
	if err == nil && n == nil {
		err = syscall.ENOENT
	}
	target, other, old, err2 := m.find("rename", to)
	switch {
	case err != nil:
	case err2 != nil:
		err = err2
	case around != target:
		err = syscall.EXDEV
	case old != nil && old.folder:
		err = syscall.EEXIST
	default:
		around.apply(change{name, other, n})
		return nil
	}
	return &fs.PathError{Op: "rename", Path: from, Err: err}
}

// Link gives a file a second name.
func (m *Memory) Link(from, to string) error {
	n, err := m.named(from)
	if err != nil {
		return err
	}
	return m.put("link", to, n)
}

func (m *Memory) named(path string) (*node, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.there("link", path, false)
}

// Remove takes away a file or an empty folder.
func (m *Memory) Remove(path string) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	around, name, n, err := m.find("remove", path)
	if err != nil {
		return err
	}
	if n == nil {
		return &fs.PathError{Op: "remove", Path: path, Err: syscall.ENOENT}
	}
	if n.folder && len(n.names) > 0 {
		return &fs.PathError{Op: "remove", Path: path, Err: syscall.ENOTEMPTY}
	}
	around.apply(change{gone: name})
	return nil
}

// SyncFolder makes the names in a folder safe.
func (m *Memory) SyncFolder(path string) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	n, err := m.there("sync", path, true)
	if err != nil || m.LazyFolders {
		return err
	}
	n.sure, n.pending = maps.Clone(n.names), nil
	return nil
}

// file is open for writing.
type file struct {
	m *Memory
	n *node
}

func (f *file) Write(p []byte) (int, error) {
	f.m.mu.Lock()
	defer f.m.mu.Unlock()
	f.n.data = append(f.n.data[:len(f.n.data):len(f.n.data)], p...)
	return len(p), nil
}

func (f *file) Sync() error {
	f.m.mu.Lock()
	defer f.m.mu.Unlock()
	if !f.m.LazyFiles {
		f.n.safe = f.n.data
	}
	return nil
}

func (f *file) Close() error { return nil }

// info tells of a node.
type info struct {
	name string
	n    *node
}

func (i info) Name() string       { return i.name }
func (i info) Size() int64        { return int64(len(i.n.data)) }
func (i info) ModTime() time.Time { return time.Time{} }
func (i info) IsDir() bool        { return i.n.folder }
func (i info) Sys() any           { return nil }
func (i info) Mode() fs.FileMode {
	if i.n.folder {
		return fs.ModeDir | 0o777
	}
	return 0o666
}
