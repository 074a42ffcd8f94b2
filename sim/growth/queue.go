package growth

import (
	"cmp"
	"math"
	"slices"
)

// An entry of the queue is a key (float32, never negative) and a cell number in one word that sorts
// like the pair.
func entry(key float32, cell uint32) uint64 { return uint64(math.Float32bits(key))<<32 | uint64(cell) }

func keyOf(e uint64) float32 { return math.Float32frombits(uint32(e >> 32)) }

// calendar is a priority queue for keys that hardly ever lie behind the present: buckets of equal
// width hold entries in any order, the open bucket is sorted when its turn comes (R. Brown, Commun.
// ACM 31 (1988) 1220), and the few that are pushed into the open bucket are sorted in at once. The
// order of what comes out does not depend on the width.
type calendar struct {
	perKey  float64 // buckets per unit of key
	buckets [][]uint64
	unused  [][]uint64 // storage of buckets that are over
	open    []uint64   // the open bucket, sorted
	at      int
	bucket  int64    // number of the open bucket
	waiting int      // entries in closed buckets and beyond
	late    []uint64 // pushed into the open bucket, the smallest last
	beyond  []uint64 // later than the ring of buckets reaches
}

const ring = 1 << 12

func newCalendar(width float64) *calendar {
	return &calendar{perKey: 1 / width, buckets: make([][]uint64, ring), bucket: -1}
}

func (q *calendar) push(key float32, cell uint32) {
	b := int64(float64(key) * q.perKey)
	e := entry(key, cell)
	switch d := b - q.bucket; {
	case d <= 0:
		i, _ := slices.BinarySearchFunc(q.late, e, func(x, e uint64) int { return cmp.Compare(e, x) })
		q.late = slices.Insert(q.late, i, e)
		return
	case d < ring-1:
		q.add(&q.buckets[b&(ring-1)], e)
	default:
		q.beyond = append(q.beyond, e)
	}
	q.waiting++
}

func (q *calendar) add(bucket *[]uint64, e uint64) {
	if n := len(q.unused); *bucket == nil && n > 0 {
		*bucket, q.unused = q.unused[n-1], q.unused[:n-1]
	} else if *bucket == nil {
		*bucket = make([]uint64, 0, 64)
	}
	*bucket = append(*bucket, e)
}

// peek is the smallest entry of the open bucket.
func (q *calendar) peek() (e uint64, ok bool) {
	if q.at < len(q.open) {
		e, ok = q.open[q.at], true
	}
	if n := len(q.late); n > 0 && (!ok || q.late[n-1] < e) {
		return q.late[n-1], true
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
	if n := len(q.late); n > 0 && (q.at >= len(q.open) || q.late[n-1] < q.open[q.at]) {
		q.late = q.late[:n-1]
		return
	}
	q.at++
}

// next opens the first bucket that holds something, but none later than number last; false if there
// is none.
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
		if q.buckets[b&(ring-1)] != nil {
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
	h := &q.buckets[b&(ring-1)]
	if cap(q.open) > 0 {
		q.unused = append(q.unused, q.open[:0])
	}
	q.bucket, q.open, q.at, *h = b, *h, 0, nil
	q.waiting -= len(q.open)
	slices.Sort(q.open)
}
