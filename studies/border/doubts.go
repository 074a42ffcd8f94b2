package border

import (
	"fmt"
	"math"

	"onegrain/sim/body"
	"onegrain/sim/furnace"
	"onegrain/studies/laws"
	"onegrain/studies/layout"
	"onegrain/studies/strict"
)

// Looked is a case that was looked at without growing it.
type Looked struct {
	*Draft
	Outlook
	Cost
	c *Converter
}

// Look looks at a document; false where it will be refused.
func (c *Converter) Look(d *strict.Document) (l Looked, sound bool) {
	t, found := c.Draft(d)
	if t.Body == nil || len(found) > 0 {
		return Looked{Draft: t}, false
	}
	o := t.outlook(t.Body)
	return Looked{t, o, t.cost(t.Body, o), c}, o.Cells > 0
}

// Limits of what furnaces and melts do; all from common practice.
const (
	DeepestK    = 100  // of undercooling at which anyone lets a body grow
	moltenHours = 0.25 // powder does not melt through in less
	moltenK     = 2    // above the peritectic temperature: a thermocouple may be wrong by more than one
	fastestKPH  = 1000 // of a chamber furnace
	longestMM   = 300  // of a body: longer than any that was grown as one
	shortestMM  = 1
	manyStrays  = 1e5
	fewCells    = 10 // a grain of fewer has no shape
)

// Doubts are what no furnace run means, one text of each kind, empty where all is well. Each names
// the key and the next move. The case has so many runs at most.
func (l Looked) Doubts(runs int) []string {
	deep := l.deep()
	crowd := l.Strays >= math.Min(manyStrays, l.Cells/fewCells) && deep == ""
	return []string{deep, l.barelyMolten(), l.abrupt(), l.unseededPiece(), l.outsized(),
		when(crowd, "nucleation: about %.1g strays are expected in each run, too many for %.2g cells or for a reasonable "+
			"time: take smaller undercoolings in schedule, check the laws, or run with --odds-only", l.Strays, l.Cells),
		when(runs > 1 && !laws.Any(l.Case.Nuclei) && !l.Case.Scattered(), "nothing in this case is random: its %d runs "+
			"would all be the same, and their interval means nothing; replicates = 1 is enough", runs),
	}
}

// when is a text where a condition holds, else empty.
func when(holds bool, format string, values ...any) string {
	if !holds {
		return ""
	}
	return fmt.Sprintf(format, values...)
}

// deep finds a temperature where an undercooling was meant: the body still liquid, and cooled by
// hundreds of kelvin.
func (l Looked) deep() string {
	for i, stage := range l.Schedule.Stages {
		at := l.PeritecticC - stage.ToC
		if stage.Kind != furnace.ToTemperature || at <= DeepestK || l.Liquid[i] < 0.01 {
			continue
		}
		next := "let the body grow at a smaller undercooling before"
		if stage.ToC > 0 && stage.ToC <= DeepestK && l.Record == nil {
			next = fmt.Sprintf("write to_undercooling_K = %g if that was meant", stage.ToC)
		}
		return fmt.Sprintf("%s is %.4g K of undercooling while %.0f %% of the body is liquid: %s",
			l.stageName(i+1, "to_C", stage.ToC), at, 100*l.Liquid[i], next)
	}
	return ""
}

// barelyMolten finds a body that is above its peritectic temperature for minutes or by a trifle.
func (l Looked) barelyMolten() string {
	hours, most, key := 0.0, 0.0, "schedule"
	k := l.Case.Programme.Knots
	for i := 1; i < len(k) && k[i-1].TimeH < l.Case.Programme.GrowthStartH(); i++ {
		// how far above, at the coldest place
		low, high := l.LowestK-k[i-1].UndercoolingK, l.LowestK-k[i].UndercoolingK
		low, high = math.Min(low, high), math.Max(low, high)
		most = math.Max(most, high)
		if high > 0 {
			hours += (k[i].TimeH - k[i-1].TimeH) * math.Min(1, high/(high-math.Min(0, low)))
		}
	}
	if most >= moltenK && hours >= moltenHours {
		return ""
	}
	for i, stage := range l.Schedule.Stages {
		if stage.Kind == furnace.ToTemperature && math.Abs(stage.ToC-l.PeritecticC-most-l.LowestK) < 1e-6 {
			key = l.stageName(i+1, "to_C", stage.ToC)
		}
	}
	return fmt.Sprintf("%s: the whole body is above its peritectic temperature for %.2g h, and by %.3g K at most, so it "+
		"may not melt through: go some 30 K above, and add a stage with hold_h = 1", key, hours, most)
}

// abrupt finds a ramp that no furnace follows.
func (l Looked) abrupt() string {
	for i, stage := range l.Schedule.Stages {
		if stage.Kind != furnace.Hold && stage.RateKPerH > fastestKPH {
			if l.Record != nil {
				return fmt.Sprintf("%s: %.3g K/h, and few furnaces can follow more than %d K/h: is time_h in hours?",
					l.stageName(i+1, "", 0), stage.RateKPerH, fastestKPH)
			}
			return fmt.Sprintf("%s: few furnaces can follow more than %d K/h, so take a rate that yours can follow",
				l.stageName(i+1, "rate_K_per_h", stage.RateKPerH), fastestKPH)
		}
	}
	return ""
}

// unseededPiece finds a part of a mask that only strays can fill.
func (l Looked) unseededPiece() string {
	if len(l.seeds) == 0 || !l.Body.Mask() {
		return ""
	}
	text := l.unseeded(l.c.grid(l.Draft).Grid)
	return when(text != "", "body.file: %s, so strays alone can fill it: give it a [[seed]], or join the pieces", text)
}

// unseeded names the first piece of a body in pieces that has no seed; empty where there is none.
func (t *Draft) unseeded(cells *body.Grid) string {
	if cells == nil {
		return ""
	}
	piece, n := layout.Unseeded(cells, t.Case.Seeds)
	return when(piece > 0 && n > 1, "the body is in %d pieces and piece %d has no seed", n, piece)
}

// outsized finds a length in another unit.
func (l Looked) outsized() string {
	key, mm := l.Body.Longest()
	return when(mm > longestMM, "%s: the body is %.4g mm long, longer than any body that was ever grown as one: "+
		"lengths are in millimetres", key, mm) +
		when(mm < shortestMM, "%s: the body is %.3g mm long: lengths are in millimetres, so write %.4g for %.3g m",
			key, mm, 1000*mm, mm)
}

// idleHours is a day, less than which nobody minds.
const idleHours = 24

// Idle tells of hours of the programme after the body is solid, where they are more than idleHours
// and more than the programme took until then. Full is when the run without strays is solid; +Inf
// for never.
func (t *Draft) Idle(fullH float64) string {
	p, end := t.Case.Programme, fullH // the last hour at which anything could grow: what comes later is cooling down
	for _, k := range p.Knots[1:] {
		if k.UndercoolingK <= DeepestK {
			end = math.Max(end, k.TimeH)
		}
	}
	if idle := end - fullH; !(idle >= idleHours && idle >= fullH) { // never solid is no idling
		return ""
	}
	at := p.Undercooling(fullH)
	if at > DeepestK {
		return "" // found by deep
	}
	stage, begun := 1, 0.0
	for _, r := range t.Stages() {
		if r.TimeH < fullH {
			stage, begun = r.Stage+1, r.TimeH
		}
	}
	key, next := fmt.Sprintf("schedule.stage.%d", stage), "less is enough"
	if t.Record != nil {
		return fmt.Sprintf("%s: the body is solid after %.4g h, and the programme continues for %.4g h: less is enough",
			t.Record.File, fullH, end-fullH)
	}
	enough := map[string]float64{"hold_h": fullH - begun, "to_undercooling_K": at, "to_C": t.PeritecticC - at}
	for aim, value := range enough { // a stage has one of them
		if whole := key + "." + aim; t.d.Has(whole) {
			next = fmt.Sprintf("%s = %.4g is enough", aim, value)
			key = fmt.Sprintf("%s = %g", whole, t.d.Number(whole))
			break
		}
	}
	return fmt.Sprintf("%s: the body is solid after %.4g h, and the programme goes on for %.4g h: %s", key, fullH,
		end-fullH, next)
}
