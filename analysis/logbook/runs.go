package logbook

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"onegrain/analysis/belief/facts"
	"onegrain/sim/furnace"
	"onegrain/studies/record"
)

// Made is the body in which whole runs were made, as far as their rows have to know it.
type Made struct {
	Name        string // what errors call it
	PeritecticC float64
	WholeMM3    float64 // of liquid before growth
	RimMM       float64 // what a faces have grown when they are at the rim everywhere
	DepthMM     float64 // what c faces have grown when they are at the bottom
	SeedMM      float64 // width of its seed; 0 where it has several of different widths
}

// recordK is how far readings of a controller may lie from the straight pieces made of them, K:
// less than furnaces differ by from run to run.
const recordK = 0.1

// oneFurnace is what the furnace is called of rows that name none.
const oneFurnace = "own"

// Runs are the whole runs of a sheet with what was seen of them, the furnaces they were made in,
// and sentences about rows that were left out. Rows of one run are its stages, in order; a run
// jumps from molten to where its first stage begins. The furnaces are in the order of their first
// rows. open reads a controller's record beside the sheet. Rows that are wrong are noted.
func (s *Sheet) Runs(in Made, open func(name string) ([]byte, error)) (runs []facts.Run, furnaces, sentences []string) {
	all := &wholeRuns{Sheet: s, in: in, open: open, of: map[string]*whole{}, named: map[string][]string{}}
	for _, r := range s.rows() {
		all.take(r)
	}
	for _, w := range all.runs {
		if s.Faults() == 0 {
			runs = append(runs, all.finish(w)...)
		}
	}
	for _, why := range all.why {
		sentences = append(sentences, about(why, all.named[why])...)
	}
	if len(all.furnaces) == 0 {
		all.furnaces = []string{oneFurnace}
	}
	return runs, all.furnaces, append(sentences, all.records...)
}

// wholeRuns are runs that are being read.
type wholeRuns struct {
	*Sheet
	in       Made
	open     func(name string) ([]byte, error)
	runs     []*whole          // in the order of their first rows
	of       map[string]*whole // by name
	furnaces []string
	why      []string            // what is to be said of rows, in order
	named    map[string][]string // rows of which it is to be said
	records  []string            // sentences about controllers' records
}

// say keeps a sentence for a row; %s in it stands for all such rows.
func (k *wholeRuns) say(why string, r row) {
	if k.named[why] == nil {
		k.why = append(k.why, why)
	}
	k.named[why] = append(k.named[why], r.at().Name())
}

// whole is a run as far as it was read.
type whole struct {
	facts.Run
	first    row
	knots    []furnace.Knot
	record   bool            // whether a controller's record is a part of it
	stage    string          // the last one
	told     map[string]bool // what was told of it
	beginH   float64         // of the last stage, hours of the programme
	endH     float64
	lookedH  float64 // until when strays were told
	furnace  string
	seedless string // the word of its rows: "yes" or "no"
}

// take reads a row.
func (k *wholeRuns) take(r row) {
	w := k.run(r)
	before := k.Faults()
	stages, name := k.stages(r, w)
	tells := r.tells()
	if k.Faults() > before {
		return
	}
	again := func(what string) bool { return w.told[what] }
	if name != w.stage || slices.ContainsFunc(tells, again) {
		w.follow(stages)
		w.stage, w.told = name, map[string]bool{}
	}
	for _, what := range tells {
		w.told[what] = true
	}
	k.furnace(r, w)
	k.seedless(r, w)
	k.strays(r, w, stages)
	k.lengths(r, w)
}

// run is that of a row, begun by it where it is the first.
func (k *wholeRuns) run(r row) *whole {
	name := r.Cell("run")
	if w := k.of[name]; w != nil && name != "" {
		return w
	}
	w := &whole{first: r, furnace: cmp.Or(r.Cell("furnace"), oneFurnace)}
	w.Name = name
	if name == "" {
		w.Name = r.at().Name()
	}
	k.runs, k.of[name] = append(k.runs, w), w
	return w
}

// tells is what a row tells of its stage. Two rows that follow each other and speak of the same
// stage are one stage if none tells again what the other told; a row that tells nothing counts as
// one that tells of growth.
func (r row) tells() (what []string) {
	if len(r.said()) > 0 || r.Filled("seen_clean_until_h") {
		what = append(what, "strays")
	}
	if r.Filled("grown_mm") || r.Filled("width_mm") || r.Filled("full") || len(what) == 0 {
		what = append(what, "growth "+cmp.Or(r.Cell("face"), "a"))
	}
	return what
}

// follow adds stages behind those that there are; the undercooling may jump between.
func (w *whole) follow(stages []Stage) {
	w.beginH = w.endH
	for _, s := range stages {
		if n := len(w.knots); n == 0 || w.knots[n-1].UndercoolingK != s.FromK {
			w.knots = append(w.knots, furnace.Knot{TimeH: w.endH, UndercoolingK: s.FromK})
		}
		w.endH += s.Hours
		w.knots = append(w.knots, furnace.Knot{TimeH: w.endH, UndercoolingK: s.ToK})
	}
}

// stages are those of a row: one, or the pieces of a controller's record. The name tells stages
// apart.
func (k *wholeRuns) stages(r row, w *whole) (stages []Stage, name string) {
	file := r.Cell("log")
	if file == "" {
		s := r.stage(k.in.PeritecticC)
		return []Stage{s}, fmt.Sprint(s)
	}
	for _, c := range []string{"hours", "undercooling_K", "start_undercooling_K", "end_undercooling_K", "temperature_C",
		"start_C", "end_C"} {
		if r.Filled(c) {
			r.Refuse(c, "the controller's record tells it", "leave it or log empty")
			return nil, ""
		}
	}
	data, err := k.open(file)
	if err != nil {
		r.Refuse("log", "cannot be read: "+plainly(err), "it stands beside "+k.File())
		return nil, ""
	}
	all, err := record.Read(file, data)
	if err != nil {
		r.Refuse("log", strings.Split(err.Error(), "\n")[0], "")
		return nil, ""
	}
	few, wanted, hint := all.Pieces(recordK)
	if wanted != "" {
		r.Refuse("log", wanted, strings.TrimPrefix(hint+"; smooth it before", "; "))
		return nil, ""
	}
	for i := 1; i < len(few); i++ {
		a, b := few[i-1], few[i]
		stages = append(stages, Stage{FromK: k.in.PeritecticC - a.TemperatureC, ToK: k.in.PeritecticC - b.TemperatureC,
			Hours: b.TimeH - a.TimeH})
	}
	told := fmt.Sprintf("%s: %d readings as %d straight pieces, none further off than %g K", file, len(all), len(stages),
		recordK)
	if w.record = true; !slices.Contains(k.records, told) {
		k.records = append(k.records, told)
	}
	return stages, "log " + file
}

// plainly is an error of the file system without the path, which the reader has before him.
func plainly(err error) string {
	text := err.Error()
	return strings.TrimSpace(text[strings.LastIndex(text, ":")+1:])
}

// furnace notes in which furnace a run was made.
func (k *wholeRuns) furnace(r row, w *whole) {
	name := cmp.Or(r.Cell("furnace"), oneFurnace)
	switch {
	case name == "another" || len(name) > 40 || strings.ContainsAny(name, "\"\\\n\t"):
		r.Refuse("furnace", `wanted a short name without quotes, and not "another"`, "")
	case name != w.furnace:
		r.Refuse("furnace", "the run began in the furnace "+w.furnace, "give what was done there a run of its own")
	case !slices.Contains(k.furnaces, name):
		k.furnaces = append(k.furnaces, name)
	}
	w.Furnace = max(0, slices.Index(k.furnaces, name))
}

// finish makes the programme of a run; it gives none where nothing was seen of it or could be.
func (k *wholeRuns) finish(w *whole) []facts.Run {
	p := furnace.Programme{Knots: w.knots}
	molten := p.FirstAtOrBelow(0)
	switch {
	case w.record && molten <= p.EndH():
		p = p.Seen(0, 0)
	case w.knots[0].UndercoolingK > 0:
		p.Knots = append([]furnace.Knot{{TimeH: w.knots[0].TimeH}}, p.Knots...)
	}
	deep := false
	for _, knot := range p.Knots {
		if deep = deep || knot.UndercoolingK > leastK; deep && knot.UndercoolingK < -heatedK {
			w.first.Refuse("", fmt.Sprintf("the run %s goes %.3g K above the peritectic temperature after it was below: "+
				"melting again is not modelled", w.Name, -knot.UndercoolingK), "begin a run of its own there")
			return nil
		}
	}
	switch w.Programme = p; {
	case !deep:
		k.say("left out, as it was not undercooled: %s", w.first)
		return nil
	case len(w.Saw) == 0:
		k.say("left out, as nothing was seen that laws can be learnt from: %s", w.first)
		return nil
	}
	return []facts.Run{w.Run}
}

// heatedK is by how much a controller may overshoot while the body stays solid.
const heatedK = 0.5
