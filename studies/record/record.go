package record

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"math"

	"onegrain/studies/sheet"
	"onegrain/studies/strict"
)

// Reading is what stood on the controller at one moment.
type Reading struct {
	TimeH, TemperatureC float64
	Line                int // of the file, from 1
}

// Record is readings in order of time, two at least, no two at one hour.
type Record []Reading

// columns are those of a file.
func columns() strict.Schema {
	return strict.Schema{
		strict.Number("time_h", strict.Between(0, 1000000), "hours, from any moment on").Must(),
		strict.Number("temperature_C", strict.Between(-50, 1500), "temperature that was read").Must(),
	}
}

// Read reads the text of a file; file is what errors call it. Other columns, such as a set point,
// are left unread. The error is everything that is wrong.
func Read(file string, data []byte) (Record, error) {
	s, err := sheet.Read(file, data, sheet.Kind{Columns: columns(), ARow: "reading", Others: true})
	if err != nil {
		return nil, err
	}
	for _, name := range []string{"time_h", "temperature_C"} {
		if !s.Has(name) {
			s.Note(0, "", "", "there is no column "+name, "a controller's record has the columns time_h and temperature_C")
		}
	}
	if err := s.Some(); err != nil || s.Faults() > 0 {
		return nil, s.Err()
	}
	var all Record
	for _, r := range s.Rows {
		one := Reading{r.Needed("time_h", ""), r.Needed("temperature_C", ""), r.Line}
		switch n := len(all); {
		case n > 0 && one.TimeH == all[n-1].TimeH:
			all[n-1] = one
		case n > 0 && one.TimeH < all[n-1].TimeH:
			r.Refuse("time_h", fmt.Sprintf("the reading before is of %v h, which is later", all[n-1].TimeH),
				"readings stand in the order of their hours")
		default:
			all = append(all, one)
		}
		if s.Faults() >= mostFaults {
			break
		}
	}
	if len(all) < 2 && s.Faults() == 0 {
		s.Note(0, "", "", "one hour alone: wanted readings of two hours at least", "")
	}
	return all, s.Err()
}

// mostFaults is how many of them anyone reads: a file of another kind has one in each line.
const mostFaults = 10

// Hash is the SHA-256 of the readings, hexadecimal: the same however the file was written.
func (r Record) Hash() string {
	h := sha256.New()
	for _, p := range r {
		fmt.Fprintf(h, "%v %v\n", p.TimeH, p.TemperatureC)
	}
	return hex.EncodeToString(h.Sum(nil))
}

// Simplified keeps the first and the last reading, and of those between so many that no reading is
// further than a tolerance (K, at its hour) from the straight pieces between them. It is the method
// of D. H. Douglas and T. K. Peucker, Cartographica 10 (1973) 112: where a piece is too far off,
// the reading furthest away becomes a corner.
func (r Record) Simplified(toleranceK float64) Record {
	corner := make([]bool, len(r))
	corner[0], corner[len(r)-1] = true, true
	open := [][2]int{{0, len(r) - 1}}
	for len(open) > 0 {
		from, to := open[len(open)-1][0], open[len(open)-1][1]
		open = open[:len(open)-1]
		at, far := 0, toleranceK
		slope := (r[to].TemperatureC - r[from].TemperatureC) / (r[to].TimeH - r[from].TimeH)
		for i := from + 1; i < to; i++ {
			off := math.Abs(r[i].TemperatureC - r[from].TemperatureC - slope*(r[i].TimeH-r[from].TimeH))
			if off > far {
				at, far = i, off
			}
		}
		if at > 0 {
			corner[at] = true
			open = append(open, [2]int{from, at}, [2]int{at, to})
		}
	}
	var kept Record
	for i, p := range r {
		if corner[i] {
			kept = append(kept, p)
		}
	}
	return kept
}

// mostPieces is more than a furnace run has: a record that keeps more scatters by more than the
// tolerance.
const mostPieces = 1000

// Pieces is Simplified, or what to do where that leaves too many pieces.
func (r Record) Pieces(toleranceK float64) (kept Record, wanted, hint string) {
	if kept = r.Simplified(toleranceK); len(kept) <= mostPieces+1 {
		return kept, "", ""
	}
	enough, few := toleranceK, kept
	for len(few) > mostPieces/4 {
		enough *= 2
		few = r.Simplified(enough)
	}
	return nil, fmt.Sprintf("its %d readings leave %d straight pieces within %g K, at most %d: they scatter by more",
		len(r), len(kept)-1, toleranceK, mostPieces), fmt.Sprintf("within %.3g K there are %d", enough, len(few)-1)
}
