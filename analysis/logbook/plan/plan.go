// Package plan reads furnace runs that could be made from a CSV file, as people write them. Units:
// K, h, mm.
package plan

import (
	"fmt"

	"onegrain/studies/sheet"
	"onegrain/studies/strict"
)

// Run is a furnace run that could be made.
type Run struct {
	Text              string
	FromK, ToK, Hours float64 // undercooling after the melt, at the end, and how long it goes there
	Unseeded          bool
	Pieces            int // of this kind in the furnace
}

// most runs are read: looking ahead from one takes up to a second.
const most = 100

// Read gives the runs of a file, CSV. The error is everything that is wrong with it.
func Read(file string, data []byte) (plans []Run, err error) {
	s, err := sheet.Read(file, data, sheet.Kind{ARow: "run", Help: "onegrain help next", Columns: strict.Schema{
		strict.Text("run", "its name"),
		strict.Number("start_undercooling_K", strict.Between(0.01, 200), "undercooling to which the melt is cooled").Must(),
		strict.Number("end_undercooling_K", strict.Between(0.01, 200),
			"undercooling at the end (as at the start where empty)"),
		strict.Number("hours", strict.Between(0.01, 10000), "from the start to the end").Must(),
		strict.Number("seed_mm", strict.Between(0, 1000), "0 for a body without a seed, as in the study where empty"),
		strict.Number("pieces", strict.Between(1, 10000), "bodies of this kind in the furnace (1 where empty)"),
	}})
	if err != nil {
		return nil, err
	}
	if err := s.Some(); err != nil || s.Faults() > 0 {
		return nil, s.Err()
	}
	if n := len(s.Rows); n > most {
		return nil, fmt.Errorf("%s: %d runs to choose from: wanted at most %d, since each is looked ahead from", file, n,
			most)
	}
	for _, r := range s.Rows {
		p := Run{Text: r.Cell("run"), FromK: r.Needed("start_undercooling_K", ""), Hours: r.Needed("hours", ""), Pieces: 1}
		if p.ToK = p.FromK; r.Filled("end_undercooling_K") {
			p.ToK = r.Number("end_undercooling_K")
		}
		p.Unseeded = r.Filled("seed_mm") && r.Number("seed_mm") == 0
		if r.Filled("pieces") {
			p.Pieces = int(r.Number("pieces"))
		}
		if p.Text == "" {
			p.Text = fmt.Sprintf("line %d", r.Line)
		}
		plans = append(plans, p)
	}
	return plans, s.Err()
}
