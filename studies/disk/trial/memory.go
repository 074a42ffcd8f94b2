// Package trial has disks to try a program on: one in memory that can lose its power, and one that
// fails when told to.
//
//  1. [Memory] has beside what programs see what is safe: the bytes a file had when it was last
//     synced, and the names a folder had.
//  2. Memory.PowerLoss is the disk that is found afterwards: of what was not synced any part may be
//     there, drawn at random from the source it is given, so that a history can be played again.
//  3. [Failing] stands before another disk and lets chosen operations fail, as a full or broken one
//     would, or all of them from some moment on.
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

// Memory is a disk in memory. LazyFiles and LazyFolders say that syncing a file or a folder does
// nothing: canaries.
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
	c.to(n.names)
	n.pending = append(n.pending, c)
}

func (c change) to(names map[string]*node) {
	delete(names, c.gone)
	if c.name != "" {
		names[c.name] = c.node
	}
}

// place is what a path leads to: the folder around it, its last name, and what is there, nil for
// nothing.
type place struct {
	around *node
	name   string
	node   *node
}

// find walks to a path.
func (m *Memory) find(path string) (place, error) {
	p := place{node: m.root}
	for part := range strings.SplitSeq(filepath.ToSlash(filepath.Clean(path)), "/") {
		switch {
		case part == "" || part == ".":
			continue
		case p.node == nil:
			return p, syscall.ENOENT
		case !p.node.folder:
			return p, syscall.ENOTDIR
		}
		p = place{p.node, part, p.node.names[part]}
	}
	return p, nil
}

// is wants a file or a folder there.
func (p place) is(folder bool) error {
	switch {
	case p.node == nil:
		return syscall.ENOENT
	case p.node.folder && !folder:
		return syscall.EISDIR
	case !p.node.folder && folder:
		return syscall.ENOTDIR
	}
	return nil
}

// at does something at a path, under the lock.
func (m *Memory) at(op, path string, do func(p place) error) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	p, err := m.find(path)
	if err == nil {
		err = do(p)
	}
	if err != nil {
		return &fs.PathError{Op: op, Path: path, Err: err}
	}
	return nil
}

// ReadFile reads a file.
func (m *Memory) ReadFile(path string) (data []byte, err error) {
	err = m.at("read", path, func(p place) error {
		err := p.is(false)
		if err == nil {
			data = slices.Clone(p.node.data)
		}
		return err
	})
	return data, err
}

// ReadDir lists a folder by name.
func (m *Memory) ReadDir(path string) (list []fs.DirEntry, err error) {
	err = m.at("open", path, func(p place) error {
		if err := p.is(true); err != nil {
			return err
		}
		for _, name := range slices.Sorted(maps.Keys(p.node.names)) {
			list = append(list, fs.FileInfoToDirEntry(infoOf(name, p.node.names[name])))
		}
		return nil
	})
	return list, err
}

// Stat describes a file or folder; times are not recorded.
func (m *Memory) Stat(path string) (of fs.FileInfo, err error) {
	err = m.at("stat", path, func(p place) error {
		if p.node == nil {
			return syscall.ENOENT
		}
		of = infoOf(p.name, p.node)
		return nil
	})
	return of, err
}

// Mkdir makes a folder.
func (m *Memory) Mkdir(path string) error { return m.put("mkdir", path, newFolder()) }

// put gives a new node a name.
func (m *Memory) put(op, path string, n *node) error {
	return m.at(op, path, func(p place) error {
		switch {
		case p.node != nil && !p.node.folder && n.folder && p.around != nil:
			return disk.ErrInTheWay
		case p.around == nil || p.node != nil:
			return syscall.EEXIST
		}
		p.around.apply(change{name: p.name, node: n})
		return nil
	})
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
	var n *node
	err := m.at("open", path, func(p place) error {
		if n = p.node; n != nil && n.folder {
			return syscall.EISDIR
		}
		return nil
	})
	switch {
	case err != nil:
		return nil, err
	case n == nil:
		return m.Create(path)
	}
	return &file{m, n}, nil
}

// Rename gives a file another name in the same folder.
func (m *Memory) Rename(from, to string) error {
	return m.at("rename", from, func(p place) error {
		target, err := m.find(to)
		switch {
		case p.node == nil:
			return syscall.ENOENT
		case err != nil:
			return err
		case p.around != target.around:
			return syscall.EXDEV
		case target.node != nil && target.node.folder:
			return syscall.EEXIST
		}
		p.around.apply(change{p.name, target.name, p.node})
		return nil
	})
}

// Link gives a file a second name.
func (m *Memory) Link(from, to string) error {
	var n *node
	err := m.at("link", from, func(p place) error {
		n = p.node
		return p.is(false)
	})
	if err != nil {
		return err
	}
	return m.put("link", to, n)
}

// Remove takes away a file or an empty folder.
func (m *Memory) Remove(path string) error {
	return m.at("remove", path, func(p place) error {
		if p.node == nil {
			return syscall.ENOENT
		}
		if p.node.folder && len(p.node.names) > 0 {
			return syscall.ENOTEMPTY
		}
		p.around.apply(change{gone: p.name})
		return nil
	})
}

// SyncFolder makes the names in a folder safe.
func (m *Memory) SyncFolder(path string) error {
	return m.at("sync", path, func(p place) error {
		err := p.is(true)
		if err == nil && !m.LazyFolders {
			p.node.sure, p.node.pending = maps.Clone(p.node.names), nil
		}
		return err
	})
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

// info describes a node as it was when it was asked for.
type info struct {
	name   string
	size   int64
	folder bool
}

func infoOf(name string, n *node) info { return info{name, int64(len(n.data)), n.folder} }

func (i info) Name() string       { return i.name }
func (i info) Size() int64        { return i.size }
func (i info) ModTime() time.Time { return time.Time{} }
func (i info) IsDir() bool        { return i.folder }
func (i info) Sys() any           { return nil }
func (i info) Mode() fs.FileMode {
	if i.folder {
		return fs.ModeDir | 0o777
	}
	return 0o666
}
