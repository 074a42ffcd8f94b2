package block

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"onegrain/analysis/fit"
	"onegrain/analysis/logbook"
	"onegrain/studies"
	"onegrain/studies/again"
	"onegrain/studies/liquid"
	"onegrain/studies/material"
)

// Question is what is asked of a sheet of furnace runs.
type Question struct {
	File        string
	Text        []byte  // of the file, CSV
	Base        string  // row of materials; empty for none
	Body        string  // study whose body is grown along the rows; empty for none
	PeritecticC float64 // °C; NaN where nothing says it
	Constant    float64 // exponent, or barrier in K³, that is given; NaN where it is to be found
	Fixed       string  // says what fixes that constant

	body logbook.Body // nil for none
}

// Columns lists the columns of a sheet that a law (growth or nuclei) reads, one a line.
func Columns(law string) string { return logbook.Columns(law) }

// Answer is what came of it.
type Answer struct {
	JSON    any      // for programs
	Laws    []Law    // for people
	LeftOut []string // sentences about rows
	Failed  []string // what could not be fitted, and why
}

// Law is a fitted law for people.
type Law struct {
	Name, Block string     // the block is to be pasted into a study; remarks alone where there is no law
	Rows        [][]string // cells beside it, the first row is the head; nil for none
	Warnings    []string
}

// TakeBase takes the peritectic temperature from the row of materials; the error is that there is
// no such row.
func (q *Question) TakeBase() error {
	row, err := material.Find(q.Base)
	if err != nil {
		return fmt.Errorf("--base %q: %w", q.Base, err)
	}
	q.PeritecticC = row.Number("material.peritectic_C")
	return nil
}

// Grow takes body, seeds and laws of growth from a case of the study Body; the error says why it
// cannot.
func (q *Question) Grow(p studies.Planned) error {
	on, peritecticC, _, err := again.Still(p)
	if err != nil {
		return err
	}
	body, err := liquid.New(q.Body, on, peritecticC)
	switch {
	case err != nil:
		return fmt.Errorf("--body %s: %w", q.Body, err)
	case math.IsNaN(q.PeritecticC):
		q.PeritecticC = peritecticC
	case math.Abs(q.PeritecticC-peritecticC) > 0.005:
		return fmt.Errorf("--body %s: its peritectic temperature is %s °C, and %s °C was asked for: "+
			"undercoolings would not be the same", q.Body, digits(peritecticC, 6), digits(q.PeritecticC, 6))
	}
	q.body = body
	return nil
}

// grown is the JSON of Growth.
type grown struct {
	File     string   `json:"file"`
	Faces    []face   `json:"faces"`
	Warnings []string `json:"warnings"` // of rows that were left out
}

type face struct {
	Face  string `json:"face"`
	Block string `json:"block"`
	*fit.GrowthFit
}

// Growth fits the engine's own law of growth, so that what is fitted is what a simulation grows
// with. The error says what is wrong with the file.
func (q *Question) Growth() (*Answer, error) {
	sheet, err := q.sheet()
	if err != nil {
		return nil, err
	}
	rows, leftOut := sheet.Lengths(q.PeritecticC)
	if err := sheet.Err(); err != nil {
		return nil, err
	}
	if len(rows) == 0 {
		return nil, fmt.Errorf("%s: no row has grown; %s", q.File, strings.Join(leftOut, "; "))
	}
	a := &Answer{LeftOut: leftOut}
	all := grown{q.File, []face{}, append([]string{}, leftOut...)}
	for _, name := range []string{"a", "c"} {
		of := slices.DeleteFunc(slices.Clone(rows), func(r logbook.Length) bool { return r.Face != name })
		if len(of) == 0 {
			continue
		}
		f, err := fit.Growth(of, liquid.GrownMM, q.Constant)
		if err != nil {
			q.fail(a, name+" faces", err, "material.growth_"+name+".exponent")
			continue
		}
		text, table := growthBlock(q.File, name, q.PeritecticC, f, of)
		all.Faces = append(all.Faces, face{name, text, f})
		a.Laws = append(a.Laws, Law{name + " faces", text, table, f.Warnings})
	}
	a.JSON = all
	return a, nil
}

// sheet is that of the file; the error is that of one without rows, too.
func (q *Question) sheet() (*logbook.Sheet, error) {
	s, err := logbook.Read(q.File, q.Text)
	if err != nil {
		return nil, err
	}
	return s, s.Some()
}

// nucleated is the JSON of Nuclei.
type nucleated struct {
	File     string   `json:"file"`
	Body     string   `json:"body,omitempty"`
	Places   []place  `json:"places"`
	Warnings []string `json:"warnings"` // of rows that were left out
}

type place struct {
	Place string `json:"place"`
	Unit  string `json:"unit"` // mm3 or mm2
	Block string `json:"block"`
	*fit.NucleiFit
}

// Nuclei fits the barrier law of each place where strays were looked for; begin is called with the
// number of rows before the body is grown along them. The error says what is wrong with the file.
func (q *Question) Nuclei(begin func(rows int)) (*Answer, error) {
	sheet, err := q.sheet()
	if err != nil {
		return nil, err
	}
	if q.body != nil {
		begin(len(sheet.Rows))
	}
	rows, leftOut := sheet.Strays(q.PeritecticC, q.body)
	if err := sheet.Err(); err != nil {
		return nil, err
	}
	if len(rows) == 0 {
		return nil, fmt.Errorf("%s: no undercooled row says anything about strays: "+
			"wanted strays, stray_seen, first_stray_undercooling_K or first_stray_h", q.File)
	}
	a := &Answer{LeftOut: leftOut}
	all := nucleated{q.File, q.Body, []place{}, append([]string{}, leftOut...)}
	law := fit.Barrier{PeritecticK: q.PeritecticC + liquid.KelvinAt0C,
		Expected: func(s logbook.Stage, prefactor, barrierK3 float64) float64 {
			return liquid.Strays(s, prefactor, barrierK3, q.PeritecticC)
		}}
	for _, name := range logbook.Places() {
		of := slices.DeleteFunc(slices.Clone(rows), func(r logbook.Strays) bool { return r.Place != name })
		if len(of) == 0 {
			continue
		}
		f, err := fit.Nuclei(of, law, q.Constant)
		if err != nil {
			q.fail(a, name, err, "nucleation.melt.barrier_K3")
			continue
		}
		text, table := nucleiBlock(q.File, q.Body, q.PeritecticC, f, of)
		all.Places = append(all.Places, place{name, of[0].Unit, text, f})
		a.Laws = append(a.Laws, Law{name, text, table, f.Warnings})
	}
	a.JSON = all
	return a, nil
}

// fail says what data lack, and the way out: the constant may be given, such as that of a material.
func (q *Question) fail(a *Answer, what string, err error, key string) {
	text := fmt.Sprintf("%s: %s: %v", q.File, what, err)
	if u := (*fit.Undecided)(nil); errors.As(err, &u) && u.Helps {
		base := q.Base
		if base == "" {
			base = "Y123, air"
		}
		text += "; " + q.Fixed
		row, _ := material.Find(base)
		if x := row.Number(key); !math.IsNaN(x) {
			text += fmt.Sprintf(" (%s has %s)", base, digits(x, 6))
		}
	}
	a.Failed = append(a.Failed, text)
}
