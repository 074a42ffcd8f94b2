package growth

import (
	"cmp"
	"math"
	"slices"
)

// An entry of the queue is a key (float32, never negative) and a cell number in one word that sorts
// like the pair.
func entry(key float32, cell uint32) uint64 {
	return uint64(math.Float32bits(key))<<32 | uint64(cell)
}

func keyOf(e uint64) float32 { return math.Float32frombits(uint32(e >> 32)) }

// calendar is a priority queue for keys that hardly ever lie behind the present: buckets of equal
// width hold entries in any order, the open bucket is sorted when its turn comes (R. Brown, Commun.
// ACM 31 (1988) 1220), and the few that are pushed into it then are sorted in at once. The order of
// what comes out does not depend on the width.
type calendar struct {
	perKey  float64    // buckets per unit of key
	buckets [][]uint64 // by number
	unused  [][]uint64 // storage of buckets that are over
	open    []uint64   // the open bucket, sorted
	at      int
	bucket  int      // number of the open bucket
	waiting int      // entries in closed buckets
	late    []uint64 // pushed into the open bucket, the smallest last
}

// lastBucket takes whatever lies beyond.
const lastBucket = 1 << 20

func newCalendar(width float64) *calendar { return &calendar{perKey: 1 / width, bucket: -1} }

// number is the bucket of a key.
func (q *calendar) number(key float32) int { return int(min(float64(key)*q.perKey, lastBucket)) }

func (q *calendar) push(key float32, cell uint32) {
	b, e := q.number(key), entry(key, cell)
	if b <= q.bucket {
		i, _ := slices.BinarySearchFunc(q.late, e, func(x, e uint64) int { return cmp.Compare(e, x) })
		q.late = slices.Insert(q.late, i, e)
		return
	}
	if b >= len(q.buckets) {
		q.buckets = append(q.buckets, make([][]uint64, b+1-len(q.buckets))...)
	}
	h := &q.buckets[b]
	if n := len(q.unused); *h == nil && n > 0 {
		*h, q.unused = q.unused[n-1], q.unused[:n-1]
	} else if *h == nil {
		*h = make([]uint64, 0, 64)
	}
	*h = append(*h, e)
	q.waiting++
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
// is none. Then the bucket of that number is open, and empty.
func (q *calendar) next(last int) bool {
	if q.waiting == 0 {
		return false
	}
	for b := q.bucket + 1; b <= min(last, len(q.buckets)-1); b++ {
		if q.buckets[b] == nil {
			continue
		}
		if cap(q.open) > 0 {
			q.unused = append(q.unused, q.open[:0])
		}
		q.bucket, q.open, q.at, q.buckets[b] = b, q.buckets[b], 0, nil
		q.waiting -= len(q.open)
		slices.Sort(q.open)
		return true
	}
	if last > q.bucket {
		q.open, q.at, q.bucket = q.open[:0], 0, last
	}
	return false
}
