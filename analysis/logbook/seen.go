package logbook

import (
	"fmt"
	"math"

	"onegrain/analysis/belief/facts"
)

// Widths by which those of people and of a body of cells may differ.
const (
	nearRim   = 0.99 // from here on a width is that of the body
	beyondRim = 1.03 // no width is as large
)

// seedless notes whether a seed grew in a run, and if not, how much was liquid.
func (k *wholeRuns) seedless(r row, w *whole) {
	none, size := "no", k.in.WholeMM3
	if r.Filled("seed_mm") && r.Number("seed_mm") == 0 {
		none = "yes"
	}
	if w.seedless != "" && w.seedless != none {
		r.Refuse("seed_mm", "another row of the run "+w.Name+" says otherwise: a seed grew, or none did", "")
	}
	w.seedless = none
	if r.Filled("volume_mm3") {
		given := r.Number("volume_mm3")
		switch {
		case given > 1.02*size: // cells have corners
			r.Refuse("volume_mm3", fmt.Sprintf("more than the whole body of %s, which has %.6g", k.in.Name, size), "")
		case none == "no":
			k.say("volume_mm3 was not read, since "+k.in.Name+" tells what was liquid: %s", r)
		default:
			size = given
		}
	}
	if none == "yes" {
		w.LiquidMM3 = size
		return
	}
	if seed := r.Number("seed_mm"); k.in.SeedMM > 0 && seed > 0 && math.Abs(seed-k.in.SeedMM) > 0.02*k.in.SeedMM {
		k.say(fmt.Sprintf("seed_mm is read for widths alone, and strays are those beside a seed of %.4g mm, as in %s: ",
			k.in.SeedMM, k.in.Name)+"%s", r)
	}
}

// strays adds what a row says of strays.
func (k *wholeRuns) strays(r row, w *whole, stages []Stage) {
	said := r.said()
	if len(said) == 0 && !r.Filled("seen_clean_until_h") {
		return
	}
	if p := r.Word("place"); p != "" && p != "melt" || r.Filled("area_mm2") {
		k.say("left out, as strays on a surface are not learnt from yet: %s", r)
		return
	}
	before := k.Faults()
	one := Strays{Stage: together(stages)}
	if r.Cell("log") != "" && r.Filled("first_stray_undercooling_K") {
		r.Refuse("first_stray_undercooling_K", "a record does not say when that was", "give first_stray_h")
	}
	r.outcome(&one)
	clean := r.clean(w.endH - w.beginH)
	if k.Faults() > before {
		return
	}
	add := func(f facts.Fact) {
		f.Line = r.Line
		if f.FromH = w.lookedH; f.ToH > f.FromH {
			w.Saw, w.lookedH = append(w.Saw, f), f.ToH
		}
	}
	if clean > 0 {
		add(facts.Fact{Kind: facts.Strays, ToH: w.beginH + clean})
	}
	switch {
	case len(said) == 0:
	case one.Seen == FirstStray && one.Stage.Hours < clean:
		r.Refuse(said[0], fmt.Sprintf("the first stray came %.4g h before seen_clean_until_h", clean-one.Stage.Hours), "")
	case one.Seen == FirstStray:
		add(facts.Fact{Kind: facts.FirstStray, ToH: w.beginH + one.Stage.Hours})
	case one.Seen == AtLeastOne:
		add(facts.Fact{Kind: facts.Strays, ToH: w.endH, Least: 1, Most: facts.Any})
	default:
		add(facts.Fact{Kind: facts.Strays, ToH: w.endH, Least: one.Count, Most: one.Count})
	}
}

// together is one stage in place of the pieces of a record: held as deep as they go, as long as
// all.
func together(stages []Stage) Stage {
	if len(stages) == 1 {
		return stages[0]
	}
	one := Stage{FromK: math.Inf(-1)}
	for _, s := range stages {
		one.FromK, one.Hours = max(one.FromK, s.FromK, s.ToK), one.Hours+s.Hours
	}
	one.ToK = one.FromK
	return one
}

// clean is until when of its stage a row says that there was no stray; 0 where it does not.
func (r row) clean(hours float64) float64 {
	x := r.Number("seen_clean_until_h")
	if x > hours+1e-9 {
		r.Refuse("seen_clean_until_h", fmt.Sprintf("wanted 0 to %.6g, the hours of the stage", hours), "")
	}
	return min(x, hours)
}

// lengths adds what a row says of growth.
func (k *wholeRuns) lengths(r row, w *whole) {
	full := r.Word("full")
	add := func(kind facts.Kind, mm float64) {
		w.Saw = append(w.Saw, facts.Fact{Kind: kind, ToH: w.endH, MM: mm, Line: r.Line})
	}
	if r.Filled("clear_diameter_mm") {
		k.say("clear_diameter_mm is not learnt from, since the disc is chosen after the strays were seen: %s", r)
	}
	if w.seedless == "yes" && (full != "" || r.Filled("grown_mm") || r.Filled("width_mm")) {
		r.Refuse("seed_mm", "without a seed nothing grows that has a width or a rim to reach", "leave grown_mm, width_mm "+
			"and full empty")
		return
	}
	face, mm := "a", 0.0
	measured := r.Filled("grown_mm") || r.Filled("width_mm")
	if before := k.Faults(); measured {
		if face, mm = r.grown(k.in.SeedMM); k.Faults() > before {
			return
		}
	}
	end, kind := k.in.RimMM, facts.GrownA
	if face == "c" {
		end, kind = k.in.DepthMM, facts.GrownC
	}
	switch {
	case measured && mm > beyondRim*end:
		r.Refuse("", fmt.Sprintf("%.4g mm grown by the %s faces, but in %s they are at the end after %.4g", mm, face,
			k.in.Name,
			end), "is it that body, and seed_mm that of the run?")
	case full == "yes" && measured && face == "a" && mm < 0.97*end:
		r.Refuse("full", fmt.Sprintf("by its width the grain has grown %.4g mm of %.4g to the rim", mm, end), "")
	case full == "yes":
		add(facts.ReachedA, k.in.RimMM)
		if measured && face == "c" {
			k.depth(r, w, mm, add)
		}
	case measured && mm >= nearRim*end && face == "a":
		k.say("it is as wide as the body, which counts as full = yes: %s", r)
		add(facts.ReachedA, end)
	case measured && face == "c":
		k.depth(r, w, mm, add)
	case measured && mm < leastMM:
		k.say("left out, as nothing has grown, and logarithms know no 0: %s", r)
	case measured:
		add(kind, mm)
	case full == "no":
		add(facts.ShortOfA, k.in.RimMM)
	}
}

// depth adds a depth grown by the c faces.
func (k *wholeRuns) depth(r row, w *whole, mm float64, add func(facts.Kind, float64)) {
	switch {
	case mm >= nearRim*k.in.DepthMM:
		k.say("left out, as it is as deep as the body, so when it got there is not known: %s", r)
	case mm < leastMM:
		k.say("left out, as nothing has grown, and logarithms know no 0: %s", r)
	default:
		add(facts.GrownC, mm)
	}
}
