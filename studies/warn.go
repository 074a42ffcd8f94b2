package studies

import (
	"fmt"
	"math"
	"strconv"

	"onegrain/sim/furnace"
	"onegrain/studies/border"
	"onegrain/studies/strict"
)

// looked is a case as the doubts see it.
type looked struct {
	*border.Draft
	study   *Study
	doc     *strict.Document
	outlook border.Outlook
	cost    border.Cost
	index   int
}

// doubt finds one thing that no furnace run means; empty where all is well. What it says names the key and the next move.
type doubt func(*looked) string

// doubts are all warnings that look at a single case. Hours that are wasted are told by Idle, which needs the run without strays.
func doubts() []doubt {
	return []doubt{deep, barelyMolten, abrupt, unseededPiece, outsized, crowd, noDice}
}

// warnings of the cases that are looked at: each doubt speaks once, for the first case it finds.
func warnings(cases []looked, first int) (out []string) {
	for _, finds := range doubts() {
		for i := range cases {
			text := finds(&cases[i])
			if text == "" {
				continue
			}
			if cases[i].index != first {
				text += fmt.Sprintf(" (in case %d)", cases[i].index+1)
			}
			out = append(out, text)
			break
		}
	}
	return out
}

// Limits of what furnaces and melts do; all from common practice.
const (
	deepestK    = 100  // of undercooling at which anyone lets a body grow
	moltenHours = 0.25 // powder does not melt through in less
	moltenK     = 2    // above the peritectic temperature: a thermocouple may be wrong by more than one
	fastestKPH  = 1000 // of a chamber furnace
	longestMM   = 300  // of a body: longer than any that was grown as one
	shortestMM  = 1
	manyStrays  = 1e5
	fewCells    = 10 // a grain of fewer has no shape
)

// deep finds a temperature where an undercooling was meant: the body still liquid, and cooled by hundreds of kelvin.
func deep(l *looked) string {
	for i, stage := range l.Schedule.Stages {
		if stage.Kind != furnace.ToTemperature || l.PeritecticC-stage.ToC <= deepestK || l.outlook.Liquid[i] < 0.01 {
			continue
		}
		text := fmt.Sprintf("schedule.stage.%d.to_C = %g is %.4g K of undercooling while %s of the body is liquid: ", i+1, stage.ToC, l.PeritecticC-stage.ToC, percent(l.outlook.Liquid[i]))
		if stage.ToC > 0 && stage.ToC <= deepestK {
			return text + fmt.Sprintf("write to_undercooling_K = %g if that was meant", stage.ToC)
		}
		return text + "let the body grow at a smaller undercooling before"
	}
	return ""
}

// barelyMolten finds a body that is above its peritectic temperature for minutes or by a trifle.
func barelyMolten(l *looked) string {
	hours, most, key := 0.0, 0.0, "schedule"
	k := l.Case.Programme.Knots
	for i := 1; i < len(k) && k[i-1].TimeH < l.Case.Programme.GrowthStartH(); i++ {
		from, to := l.LowestK-k[i-1].UndercoolingK, l.LowestK-k[i].UndercoolingK // how far above, at the coldest place
		most = math.Max(most, math.Max(from, to))
		if above := math.Max(from, to); above > 0 {
			hours += (k[i].TimeH - k[i-1].TimeH) * math.Min(1, above/(above-math.Min(0, math.Min(from, to))))
		}
	}
	if most >= moltenK && hours >= moltenHours {
		return ""
	}
	for i, stage := range l.Schedule.Stages {
		if stage.Kind == furnace.ToTemperature && math.Abs(stage.ToC-l.PeritecticC-most-l.LowestK) < 1e-6 {
			key = fmt.Sprintf("schedule.stage.%d.to_C = %g", i+1, stage.ToC)
		}
	}
	return fmt.Sprintf("%s: the whole body is above its peritectic temperature for %.2g h, and by %.3g K at most, so it may not melt through: go some 30 K above, and add a stage with hold_h = 1", key, hours, most)
}

// abrupt finds a ramp that no furnace follows.
func abrupt(l *looked) string {
	for i, stage := range l.Schedule.Stages {
		if stage.Kind != furnace.Hold && stage.RateKPerH > fastestKPH {
			return fmt.Sprintf("schedule.stage.%d.rate_K_per_h = %g: hardly a furnace follows more than %d K/h, so take a rate of yours", i+1, stage.RateKPerH, fastestKPH)
		}
	}
	return ""
}

// unseededPiece finds a part of a mask that only strays can fill.
func unseededPiece(l *looked) string {
	piece, pieces := l.study.converter.UnseededPiece(l.doc)
	if piece == 0 || len(l.Case.Seeds) == 0 {
		return ""
	}
	return fmt.Sprintf("body.file: the body is in %d pieces and piece %d has no seed, so strays alone can fill it: give it a [[seed]], or join the pieces", pieces, piece)
}

// outsized finds a length in another unit.
func outsized(l *looked) string {
	key, mm := l.study.converter.Longest(l.doc)
	switch {
	case mm > longestMM:
		return fmt.Sprintf("%s: the body is %.4g mm long, more than was ever grown as one: lengths are in millimetres", key, mm)
	case mm < shortestMM:
		return fmt.Sprintf("%s: the body is %.3g mm long: lengths are in millimetres, so write %.4g for %.3g m", key, mm, 1000*mm, mm)
	}
	return ""
}

// crowd finds a body that is nothing but strays.
func crowd(l *looked) string {
	if l.outlook.Strays < math.Min(manyStrays, l.outlook.Cells/fewCells) || deep(l) != "" {
		return ""
	}
	return fmt.Sprintf("nucleation: some %.1g strays are to be expected in each run, too many for %.2g cells or for one's patience: "+
		"take smaller undercoolings in schedule, look at the laws, or run with --odds-only", l.outlook.Strays, l.outlook.Cells)
}

// noDice finds replicates that would all be the same.
func noDice(l *looked) string {
	if l.study.Replicates < 2 || !l.NoDice() {
		return ""
	}
	return fmt.Sprintf("nothing in this case is left to chance: its %d runs would all be the same, and their interval means nothing; replicates = 1 is enough", l.study.Replicates)
}

// Idle tells of hours of the programme after the body is solid, where they are more than idleHours and more than the programme took
// until then. Full is when the run without strays of case i is solid; +Inf for never.
func (s *Study) Idle(i int, fullH float64) string {
	d, found := s.document(i)
	t, more := s.converter.Draft(d)
	if len(found)+len(more) > 0 {
		return ""
	}
	end := fullH // the last hour at which anything could grow: what comes later is cooling down
	k := t.Case.Programme.Knots
	for j := 1; j < len(k); j++ {
		if k[j].UndercoolingK <= deepestK {
			end = math.Max(end, k[j].TimeH)
		}
	}
	if idle := end - fullH; !(idle >= idleHours && idle >= fullH) { // never solid is no idling
		return ""
	}
	stage := 1
	for _, r := range scheduleRows(t) {
		if r.TimeH < fullH {
			stage = r.Stage + 1
		}
	}
	if t.Case.Programme.Undercooling(fullH) > deepestK {
		return "" // told by deep
	}
	key := "schedule.stage." + strconv.Itoa(stage)
	next := "less would do"
	for _, what := range []string{"hold_h", "to_undercooling_K", "to_C"} {
		if d.Has(key + "." + what) {
			at := t.Case.Programme.Undercooling(fullH)
			enough := map[string]float64{"hold_h": fullH - stageStart(t, stage), "to_undercooling_K": at, "to_C": t.PeritecticC - at}[what]
			next = fmt.Sprintf("%s = %.4g would do in its place", what, enough)
			key += fmt.Sprintf(".%s = %g", what, d.Number(key+"."+what))
			break
		}
	}
	return fmt.Sprintf("%s: the body is solid after %.4g h, and the programme goes on for %.4g h: %s", key, fullH, end-fullH, next)
}

// idleHours is a day, less than which nobody minds.
const idleHours = 24

func stageStart(t *border.Draft, stage int) float64 { return scheduleRows(t)[stage-1].TimeH }

func percent(x float64) string { return fmt.Sprintf("%.0f %%", 100*x) }
