package border

import (
	"sync"
	"sync/atomic"
)

// mostKnown is about how many values a memo remembers: a study seldom varies what they are made of.
const mostKnown = 64

// memo remembers what a few texts gave. It may be used from several goroutines, of which none waits
// while another one makes a value.
type memo[V any] struct {
	known sync.Map
	made  atomic.Int32
}

// get is the value of a key, made if it is not known. Of two that are made at a time the first
// stays.
func (m *memo[V]) get(key string, make func() V) V {
	v, ok := m.known.Load(key)
	if !ok {
		v, ok = m.known.LoadOrStore(key, make())
	}
	if !ok && m.made.Add(1) > mostKnown {
		m.made.Store(1)
		m.known.Clear()
		m.known.Store(key, v)
	}
	return v.(V)
}
