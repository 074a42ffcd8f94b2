package growth

import (
	"math"
	"slices"
)

// An entry of the queue is a key (float32, never negative) and a cell number in one word that sorts like the pair.
func entry(key float32, cell uint32) uint64 { return uint64(math.Float32bits(key))<<32 | uint64(cell) }

func keyOf(e uint64) float32 { return math.Float32frombits(uint32(e >> 32)) }

const chunkSize = 62

type chunk struct {
	entries [chunkSize]uint64
	n, next uint32
}

// calendar is a priority queue for keys that hardly ever lie behind the present: buckets of equal width hold unsorted
// chunks, the open bucket is sorted by counting when its turn comes (R. Brown, Commun. ACM 31 (1988) 1220), and what is
// pushed into the open bucket goes to a small heap. The order of what comes out does not depend on the width.
type calendar struct {
	perKey  float64 // buckets per unit of key
	head    []uint32
	pool    []*[slab]chunk // grows without moving
	used    uint32         // chunks handed out; number 0 is none
	free    uint32
	open    []uint64 // the open bucket, sorted
	spare   []uint64
	at      int
	bucket  int64    // number of the open bucket
	waiting int      // entries in closed buckets and beyond
	late    []uint64 // heap
	beyond  []uint64 // later than the ring of buckets reaches
	counts  [2048]uint32
}

const (
	ring = 1 << 12
	slab = 128
)

func (q *calendar) chunk(n uint32) *chunk { return &q.pool[n/slab][n%slab] }

func newCalendar(width float64) *calendar {
	return &calendar{perKey: 1 / width, head: make([]uint32, ring), bucket: -1}
}

func (q *calendar) push(key float32, cell uint32) {
	b := int64(float64(key) * q.perKey)
	e := entry(key, cell)
	d := b - q.bucket
	switch {
	case d <= 0:
		q.pushLate(e)
	case d < ring-1:
		q.add(b, e)
	default:
		q.beyond = append(q.beyond, e)
		q.waiting++
	}
}

func (q *calendar) add(b int64, e uint64) {
	q.waiting++
	h := &q.head[b&(ring-1)]
	if *h != 0 {
		if p := q.chunk(*h); p.n < chunkSize {
			p.entries[p.n] = e
			p.n++
			return
		}
	}
	n := q.free
	if n != 0 {
		q.free = q.chunk(n).next
	} else {
		q.used++
		if n = q.used; int(n/slab) >= len(q.pool) {
			q.pool = append(q.pool, new([slab]chunk))
		}
	}
	p := q.chunk(n)
	p.n, p.next, p.entries[0] = 1, *h, e
	*h = n
}

// peek is the smallest entry of the open bucket.
func (q *calendar) peek() (e uint64, ok bool) {
	if q.at < len(q.open) {
		e, ok = q.open[q.at], true
	}
	if len(q.late) > 0 && (!ok || q.late[0] < e) {
		return q.late[0], true
	}
	return e, ok
}

// ahead are entries of the open bucket from the i-th after the present one on, at most n.
func (q *calendar) ahead(i, n int) []uint64 {
	from := min(q.at+i, len(q.open))
	return q.open[from:min(from+n, len(q.open))]
}

// drop removes the entry that peek showed.
func (q *calendar) drop() {
	if len(q.late) > 0 && (q.at >= len(q.open) || q.late[0] < q.open[q.at]) {
		q.dropLate()
		return
	}
	q.at++
}

// next opens the first bucket that holds something, but none later than number last; false if there is none.
func (q *calendar) next(last int64) bool {
	if q.waiting == 0 {
		return false
	}
	for b := q.bucket + 1; b <= last; b++ {
		if len(q.beyond) > 0 && (b&(ring/2-1) == 0 || q.waiting == len(q.beyond)) {
			if q.waiting == len(q.beyond) {
				b = min(last, int64(float64(keyOf(slices.Min(q.beyond)))*q.perKey))
			}
			q.bucket = b - 1
			q.draw()
		}
		if q.head[b&(ring-1)] != 0 {
			q.load(b)
			return true
		}
	}
	q.skip(last)
	return false
}

// skip closes the open bucket and stands before the one after number b.
func (q *calendar) skip(b int64) {
	if b > q.bucket {
		q.open, q.at, q.bucket = q.open[:0], 0, b
	}
}

// draw moves entries into the ring that it reaches by now.
func (q *calendar) draw() {
	old := q.beyond
	q.beyond = nil
	for _, e := range old {
		q.waiting--
		q.push(keyOf(e), uint32(e))
	}
}

func (q *calendar) load(b int64) {
	q.bucket, q.open, q.at = b, q.open[:0], 0
	h := &q.head[b&(ring-1)]
	for c := *h; c != 0; {
		p := q.chunk(c)
		q.open = append(q.open, p.entries[:p.n]...)
		next := p.next
		p.next, q.free = q.free, c
		c = next
	}
	*h = 0
	q.waiting -= len(q.open)
	q.sort()
}

// sort orders the open bucket: least significant digit first over the spread of its keys, then cells within equal keys.
func (q *calendar) sort() {
	a := q.open
	if len(a) <= 48 {
		insertion(a)
		return
	}
	lo, hi := uint64(math.MaxUint64), uint64(0)
	for _, e := range a {
		lo, hi = min(lo, e), max(hi, e)
	}
	lo = lo >> 32 << 32
	if cap(q.spare) < len(a) {
		q.spare = make([]uint64, len(a)+len(a)/2)
	}
	from, to := a, q.spare[:len(a)]
	for shift := uint(32); shift < 64 && (hi-lo)>>shift != 0; shift += 11 {
		q.digit(from, to, lo, shift)
		from, to = to, from
	}
	for i := 1; i < len(from); i++ {
		if from[i] < from[i-1] { // only inside a run of equal keys
			i = sortRun(from, i)
		}
	}
	q.open, q.spare = from, to[:0]
}

func (q *calendar) digit(from, to []uint64, lo uint64, shift uint) {
	clear(q.counts[:])
	for _, e := range from {
		q.counts[(e-lo)>>shift&2047]++
	}
	sum := uint32(0)
	for i, n := range q.counts {
		q.counts[i] = sum
		sum += n
	}
	for _, e := range from {
		d := (e - lo) >> shift & 2047
		to[q.counts[d]] = e
		q.counts[d]++
	}
}

// sortRun sorts the run of equal keys around i and returns its last index.
func sortRun(a []uint64, i int) int {
	k, l, h := a[i]>>32, i-1, i+1
	for l > 0 && a[l-1]>>32 == k {
		l--
	}
	for h < len(a) && a[h]>>32 == k {
		h++
	}
	slices.Sort(a[l:h])
	return h - 1
}

func insertion(a []uint64) {
	for i := 1; i < len(a); i++ {
		x, j := a[i], i-1
		for j >= 0 && a[j] > x {
			a[j+1] = a[j]
			j--
		}
		a[j+1] = x
	}
}

func (q *calendar) pushLate(e uint64) {
	h := append(q.late, e)
	i := len(h) - 1
	for i > 0 && h[(i-1)/2] > e {
		h[i] = h[(i-1)/2]
		i = (i - 1) / 2
	}
	h[i] = e
	q.late = h
}

func (q *calendar) dropLate() {
	n := len(q.late) - 1
	x := q.late[n]
	h := q.late[:n]
	q.late = h
	if n == 0 {
		return
	}
	i := 0
	for {
		c := 2*i + 1
		if c+1 < n && h[c+1] < h[c] {
			c++
		}
		if c >= n || h[c] >= x {
			break
		}
		h[i] = h[c]
		i = c
	}
	h[i] = x
}
