package trial

import (
	"maps"
	"math/rand/v2"
	"slices"
)

// PowerLoss is the disk as it is found after a power cut now. Of the names changed in a folder
// since it was last synced none, all, the first few, or any may be there, each change whole or not
// at all; of what was written to a file since it was last synced nothing, all, a beginning, or its
// length with nothing in it. What was synced is there. The disk itself is left as it is.
func (m *Memory) PowerLoss(r *rand.Rand) *Memory {
	m.mu.Lock()
	defer m.mu.Unlock()
	after := NewMemory()
	after.LazyFiles, after.LazyFolders = m.LazyFiles, m.LazyFolders
	after.root = m.root.found(r, map[*node]*node{})
	return after
}

// found is a node after the power cut; a file with two names stays one file.
func (n *node) found(r *rand.Rand, done map[*node]*node) *node {
	if old := done[n]; old != nil {
		return old
	}
	if !n.folder {
		left := survived(n.safe, n.data, r)
		done[n] = &node{data: left, safe: left}
		return done[n]
	}
	after := newFolder()
	done[n] = after
	names := maps.Clone(n.sure)
	keep := chosen(len(n.pending), r)
	for i, c := range n.pending {
		if keep(i) {
			c.to(names)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(names)) { // in order, so that the same source gives the same disk
		after.names[name] = names[name].found(r, done)
	}
	after.sure = maps.Clone(after.names)
	return after
}

// chosen says which of n changes survive.
func chosen(n int, r *rand.Rand) func(i int) bool {
	switch way := r.IntN(4); way {
	case 0, 1:
		return func(int) bool { return way == 1 }
	case 2:
		first := r.IntN(n + 1)
		return func(i int) bool { return i < first }
	}
	return func(int) bool { return r.IntN(2) == 0 }
}

// survived is what is left of a file.
func survived(safe, data []byte, r *rand.Rand) []byte {
	if len(safe) == len(data) { // files only grow
		return data
	}
	cut := len(safe) + r.IntN(len(data)-len(safe)+1)
	switch r.IntN(4) {
	case 0:
		return safe
	case 1:
		return data
	case 2:
		return data[:cut]
	}
	hollow := make([]byte, len(data))
	copy(hollow, data[:cut])
	return hollow
}
