package border

import (
	"fmt"
	"math"
	"strings"

	"onegrain/sim/furnace"
	"onegrain/studies/record"
	"onegrain/studies/strict"
)

// recordKey is the key that names a controller's record.
const recordKey = "schedule.file"

// Recorded says what became of a controller's record.
type Recorded struct {
	File       string  `json:"file"`
	Readings   int     `json:"readings"`
	Pieces     int     `json:"straight_pieces"`
	ToleranceK float64 `json:"tolerance_K"` // no reading is further off

	corners record.Record
}

// pieced is a record in pieces, or why not.
type pieced struct {
	record.Record
	wanted, hint string
}

// SetRecord takes the record of a controller, a CSV file that errors call by its name. The text
// tells such records apart.
func (c *Converter) SetRecord(name string, data []byte) (text string, err error) {
	r, err := record.Read(name, data)
	if err != nil {
		return "", err
	}
	c.record = r
	return "record " + r.Hash(), nil
}

// recorded makes the schedule of a record.
func (c *Converter) recorded(t *Draft) strict.Problems {
	const tolerance, stage = "schedule.tolerance_K", "schedule.stage"
	if t.d.Count(stage) > 0 {
		return t.d.Problem(stage, "the record of schedule.file takes the place of stages", "leave one of the two out")
	}
	if c.record == nil || !t.d.Has(tolerance) {
		return nil // reported
	}
	k := t.d.Number(tolerance)
	p := c.pieced.get(fmt.Sprint(k), func() (p pieced) {
		p.Record, p.wanted, p.hint = c.record.Pieces(k)
		return p
	})
	if p.wanted != "" {
		return t.d.Problem(tolerance, t.d.Text(recordKey)+": "+p.wanted, p.hint)
	}
	t.Record = &Recorded{t.d.Text(recordKey), len(c.record), len(p.Record) - 1, k, p.Record}
	t.Schedule = furnace.Schedule{StartC: p.Record[0].TemperatureC, SlackK: 2 * k}
	for i, r := range p.Record[1:] {
		hours, rise := r.TimeH-p.Record[i].TimeH, math.Abs(r.TemperatureC-p.Record[i].TemperatureC)
		s := furnace.Stage{Kind: furnace.ToTemperature, ToC: r.TemperatureC, RateKPerH: rise / hours}
		if rise == 0 {
			s = furnace.Stage{Kind: furnace.Hold, HoldH: hours}
		}
		t.Schedule.Stages = append(t.Schedule.Stages, s)
	}
	return nil
}

// atReading is a problem of a stage that a record made: it is where that stage ends.
func (t *Draft) atReading(stage int, wanted, hint string) strict.Problem {
	for from, to := range map[string]string{
		"add a stage that goes above it":                         "a record begins before the body is molten",
		"add a stage that goes below the peritectic temperature": "a record goes on until the body is solid",
		"lower the stage or take":                                "is it the record of this body? take",
	} {
		hint = strings.Replace(hint, from, to, 1)
	}
	wanted = strings.Replace(wanted, "this stage", "the programme until this reading", 1)
	return strict.Problem{File: t.Record.File, Line: t.Record.corners[stage].Line, Wanted: wanted, Hint: hint}
}

// stageName is what sentences call a stage, with the key by which it is set where it has one: in a
// record it is the reading at which it ends.
func (t *Draft) stageName(stage int, key string, value float64) string {
	if t.Record != nil {
		return fmt.Sprintf("%s:%d", t.Record.File, t.Record.corners[stage].Line)
	}
	return fmt.Sprintf("schedule.stage.%d.%s = %g", stage, key, value)
}
