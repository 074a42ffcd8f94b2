package border

import "sync"

// mostKnown is how many values a memo remembers: a study seldom varies what they are made of.
const mostKnown = 64

// memo remembers what a few texts gave. It may be used from several goroutines; what is missing is
// made outside its lock.
type memo[V any] struct {
	mu    sync.Mutex
	known map[string]V
}

// get is the value of a key, made if it is not known. Of two that are made at a time the first
// stays.
func (m *memo[V]) get(key string, make func() V) V {
	m.mu.Lock()
	v, ok := m.known[key]
	m.mu.Unlock()
	if ok {
		return v
	}
	v = make()
	m.mu.Lock()
	defer m.mu.Unlock()
	if first, ok := m.known[key]; ok {
		return first
	}
	if m.known == nil || len(m.known) >= mostKnown {
		m.known = map[string]V{}
	}
	m.known[key] = v
	return v
}
