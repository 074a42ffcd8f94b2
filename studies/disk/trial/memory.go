// Package trial has a disk to try a program on: in memory, it can lose its power and fail when told
// to.
//
//  1. [Memory] has beside what programs see what is safe: the bytes a file had when it was last
//     synced, and the names a folder had.
//  2. Memory.PowerLoss is the disk that is found afterwards: of what was not synced any part may be
//     there, drawn at random from the source it is given, so that a history can be played again.
//  3. [Failing] is the same disk for a program that is to see chosen operations fail, as those of a
//     full or broken one would, or all of them from some moment on.
package trial

import (
	"io/fs"
	"maps"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing/fstest"

	"onegrain/studies/disk"
)

// Memory is a disk in memory. LazyFiles and LazyFolders say that syncing a file or a folder does
// nothing: canaries.
type Memory struct {
	Failing // the disk itself, of which nothing fails

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
func NewMemory() *Memory {
	m := &Memory{root: newFolder()}
	m.Disk = m
	return m
}

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

// shown is a node as file systems describe one, without times.
func (n *node) shown() *fstest.MapFile {
	if n.folder {
		return &fstest.MapFile{Mode: fs.ModeDir | 0o777}
	}
	return &fstest.MapFile{Data: n.data, Mode: 0o666}
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
	p := place{name: ".", node: m.root}
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

// put gives a node a name that nothing has.
func (p place) put(n *node) error {
	switch {
	case p.node != nil && !p.node.folder && n.folder:
		return disk.ErrInTheWay
	case p.around == nil || p.node != nil:
		return syscall.EEXIST
	}
	p.around.apply(change{name: p.name, node: n})
	return nil
}

// ReadFile reads a file.
func (f *Failing) ReadFile(path string) (data []byte, err error) {
	err = f.at("read", path, func(p place) error {
		err := p.is(false)
		if err == nil {
			data = append([]byte{}, p.node.data...)
		}
		return err
	})
	return data, err
}

// ReadDir lists a folder by name.
func (f *Failing) ReadDir(path string) (list []fs.DirEntry, err error) {
	err = f.at("open", path, func(p place) error {
		if err := p.is(true); err != nil {
			return err
		}
		all := fstest.MapFS{}
		for name, n := range p.node.names {
			all[name] = n.shown()
		}
		list, err = all.ReadDir(".")
		return err
	})
	return list, err
}

// Stat describes a file or folder; times are not recorded.
func (f *Failing) Stat(path string) (of fs.FileInfo, err error) {
	err = f.at("stat", path, func(p place) error {
		if p.node == nil {
			return syscall.ENOENT
		}
		of, err = fstest.MapFS{p.name: p.node.shown()}.Stat(p.name)
		return err
	})
	return of, err
}

// Mkdir makes a folder.
func (f *Failing) Mkdir(path string) error {
	return f.at("mkdir", path, func(p place) error { return p.put(newFolder()) })
}

// Rename gives a file another name in the same folder.
func (f *Failing) Rename(from, to string) error {
	return f.at("rename", to, func(p place) error {
		source, err := f.Disk.find(from)
		switch {
		case err != nil:
			return err
		case source.node == nil:
			return syscall.ENOENT
		case p.around != source.around:
			return syscall.EXDEV
		case p.node != nil && p.node.folder:
			return syscall.EEXIST
		}
		p.around.apply(change{source.name, p.name, source.node})
		return nil
	})
}

// Link gives a file a second name.
func (f *Failing) Link(from, to string) error {
	return f.at("link", to, func(p place) error {
		source, err := f.Disk.find(from)
		if err == nil {
			err = source.is(false)
		}
		if err != nil {
			return err
		}
		return p.put(source.node)
	})
}

// Remove takes away a file or an empty folder.
func (f *Failing) Remove(path string) error {
	return f.at("remove", path, func(p place) error {
		if p.node == nil {
			return syscall.ENOENT
		}
		if len(p.node.names) > 0 {
			return syscall.ENOTEMPTY
		}
		p.around.apply(change{gone: p.name})
		return nil
	})
}

// SyncFolder makes the names in a folder safe.
func (f *Failing) SyncFolder(path string) error {
	return f.at("sync folder", path, func(p place) error {
		err := p.is(true)
		if err == nil && !f.Disk.LazyFolders {
			p.node.sure, p.node.pending = maps.Clone(p.node.names), nil
		}
		return err
	})
}

// Create makes a file.
func (f *Failing) Create(path string) (disk.File, error) {
	w := &file{f, &node{}, path}
	return w, f.at("create", path, func(p place) error { return p.put(w.node) })
}

// Append opens a file for writing at its end.
func (f *Failing) Append(path string) (disk.File, error) {
	w := &file{f, &node{}, path}
	return w, f.at("append", path, func(p place) error {
		if p.node == nil {
			return p.put(w.node)
		}
		w.node = p.node
		return p.is(false)
	})
}
