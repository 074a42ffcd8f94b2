package table

import (
	"crypto/sha256"
	"fmt"
)

// claims are which file has the rows of which run, in one table that has rows of runs.
type claims struct {
	f     *Folder
	files []string                   // as they were read
	named map[string][]string        // of each file of runs: the files it names
	runs  map[string]map[runKey]bool // of each file: the runs it has
	best  map[runKey]claim

	dropped int       // runs that are in a later file again
	differ  []Corrupt // runs that are otherwise in another file
}

// claim is what a file has of a run.
type claim struct {
	file   string
	digest [sha256.Size]byte // of the rows, without wall_s
	done   bool              // false for a run that failed
}

func newClaims(f *Folder) *claims {
	return &claims{f: f, named: map[string][]string{}, runs: map[string]map[runKey]bool{}, best: map[runKey]claim{}}
}

// read takes in a file. The first one that has a run counts, but never a failed run before one that
// was done.
func (c *claims) read(file string, rows *Frame) error {
	c.files = append(c.files, file)
	c.named[file] = rows.named()
	c.runs[file] = map[runKey]bool{}
	for key, now := range rows.claims(file) {
		c.runs[file][key] = true
		old, known := c.best[key]
		c.dropped += btoi(known)
		if !known || now.done && !old.done {
			c.best[key] = now
		} else if now.done == old.done && now.digest != old.digest {
			if err := c.compare(key, old.file, file, rows); err != nil {
				return err
			}
		}
	}
	return nil
}

// claims are what a file has of each run.
func (f *Frame) claims(file string) map[runKey]claim {
	columns := f.counted()
	all := map[runKey]claim{}
	for r := range f.rows {
		key := f.key(r)
		now := all[key]
		now.file, now.done = file, f.Schema.Table != receipts || f.Value(r, "status") != "failed"
		now.digest = sha256.Sum256(append(now.digest[:], f.line(r, columns)...))
		all[key] = now
	}
	return all
}

// compare looks closely at a run that seems to be otherwise in another file: one may have columns
// that the other's version did not.
func (c *claims) compare(key runKey, first, second string, rows *Frame) error {
	old, _, err := c.f.file(first, nil)
	if err != nil {
		return err
	}
	of := func(f *Frame) *Frame { return f.Pick(f.where(func(k runKey) bool { return k == key })) }
	a, b := of(old), of(rows)
	same := a.Len() == b.Len()
	for i, col := range a.Schema.Columns {
		k := b.Schema.Index(col.Name)
		if k < 0 || col.Name == uncounted {
			continue
		}
		for r := 0; same && r < a.Len(); r++ {
			same = plain(a.data[i][r]) == plain(b.data[k][r])
		}
	}
	if !same {
		c.differ = append(c.differ, Corrupt{c.f.path(second),
			fmt.Sprintf("its rows of replicate %d of case %s are not those of %s", key.replicate, key.id, c.f.path(first)),
			"if random.seed or random.pairing of the study was changed in between, use a folder for each; else move both " +
				"files away and run the study again"})
	}
	return nil
}

// where are the rows for which a condition holds.
func (f *Frame) where(holds func(key runKey) bool) (rows []int) {
	for r := range f.rows {
		if holds(f.key(r)) {
			rows = append(rows, r)
		}
	}
	return rows
}

// pick are the rows of a file that count.
func (c *claims) pick(file string, rows *Frame) *Frame {
	return rows.Pick(rows.where(func(key runKey) bool { return c.best[key].file == file }))
}
