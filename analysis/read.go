package analysis

import (
	"errors"
	"fmt"
	"io/fs"

	"onegrain/analysis/joints"
	"onegrain/analysis/window"
	"onegrain/studies/table"
)

const (
	attempts = 5   // at reading a folder in which files are just being merged
	perCase  = 200 // cases of which the runs are told one by one
)

// Read tells what a results folder shows. A study without cases, runs or success is no error. The
// error names an option that cannot be, or a file that cannot be read or is damaged
// (table.Corrupt).
func Read(f *table.Folder, o Options) (*Findings, error) {
	for try := 1; ; try++ {
		out, err := read(f, o)
		if try == attempts || !errors.Is(err, fs.ErrNotExist) {
			return out, err
		}
	}
}

func read(f *table.Folder, o Options) (*Findings, error) {
	known, warnings, err := factsOf(f)
	if err != nil {
		return nil, err
	}
	cases, err := f.Table("cases")
	if err != nil {
		return nil, err
	}
	if cases, err = chosen(cases, o.Fixed); err != nil {
		return nil, err
	}
	s := study(cases, &known)
	out := &Findings{
		Title: known.Title, Design: known.Design.Kind, JoinDeg: known.Domain.JoinDeg, Warnings: warnings,
		Axes: append([]window.Axis{}, s.Axes...), Cases: len(s.Cases), PerCase: []CaseRuns{},
	}
	if out.Window, err = window.Find(s, window.Options{Chance: o.Chance, X: o.X, Y: o.Y}); err != nil {
		return nil, err
	}
	if out.Influence, err = rankings(cases, s, out.Design); err != nil {
		return nil, err
	}
	if err := out.readRuns(f, s, &known); err != nil {
		return nil, err
	}
	out.complain(len(o.Fixed) > 0)
	return out, nil
}

// Headline is what each setting of a study comes to.
type Headline struct {
	Cases    *table.Frame   // the table as it is
	Axes     []window.Axis  // that are set
	Averaged []string       // labels of those that are not known, over which all numbers of Points are means
	Points   []window.Point // a setting each; where nothing is averaged a row of Cases each
	Best     int            // by the rule of window.Best; −1 for none, or where there is only one
	Notes    []string       // on the averages, and what the best case lacks of the wanted chance
}

// Head reads the headline of a results folder. The error names a file that cannot be read or is
// damaged.
func Head(f *table.Folder, chance float64) (*Headline, error) {
	known, warnings, err := factsOf(f)
	if err != nil {
		return nil, err
	}
	h := &Headline{Notes: warnings}
	if h.Cases, err = f.Table("cases"); err != nil {
		return nil, err
	}
	s := study(h.Cases, &known).Averaged()
	h.Axes, h.Averaged, h.Points, h.Notes = s.Axes, s.Over, s.Points(chance), append(h.Notes, s.Notes...)
	h.Notes = append(h.Notes, s.LawNotes(h.Points)...)
	if h.Best = window.Best(h.Points, chance); len(h.Points) < 2 {
		h.Best = -1
	}
	if h.Best >= 0 {
		if text := h.Points[h.Best].Shortfall(chance); text != "" {
			h.Notes = append(h.Notes, text)
		}
	}
	return h, nil
}

// readRuns reads what is told of each run.
func (out *Findings) readRuns(f *table.Folder, s window.Study, of *facts) error {
	collector, err := joints.New(joints.Law{ThresholdDeg: of.Magnet.ThresholdDeg, DecayDeg: of.Magnet.DecayDeg})
	if err != nil {
		return err
	}
	var alike []bool
	alike, out.Alike = placed(s, of, out.Window.Best)
	r := newRuns(s, collector, alike)
	if err := r.read(f); err != nil {
		return err
	}
	if p := out.Window.Best; p != nil {
		out.Best = &Best{
			ID: p.ID, Settings: setting(out.Window.Set, p.At), DiameterMM: p.DiameterMM, Chance: p.Chance,
			ProgrammeH: p.ProgrammeH, Reaches: float64(p.Chance) >= out.Window.Wanted,
		}
		if len(s.Axes) > len(out.Window.Averaged) {
			out.Best.Shortfall = p.Shortfall(out.Window.Wanted)
		}
		if run, replicate := r.first(r.cases[p.ID]); run >= 0 {
			collector.Watch(run)
			out.Best.Replicate = replicate
		}
	}
	if err := r.details(f); err != nil {
		return err
	}
	out.Runs = r.total()
	if len(s.Cases) <= perCase {
		out.PerCase = r.perCase(s)
	}
	out.Scatter, out.Boundaries = collector.Scatter(), collector.Boundaries()
	return nil
}

const (
	unfinished = "the folder has no finished table of cases: run the same command again, or wait for the other shards, " +
		"and merge"
	liquid = "in %d of %d runs the programme ended before the body was solid: let it go on to a lower temperature"
	notOf  = "%d runs in the folder belong to no case of the study as it is now and are left out"
)

// complain of the study as a whole.
func (out *Findings) complain(chosen bool) {
	warn := func(when bool, format string, values ...any) {
		if when {
			out.Warnings = append(out.Warnings, fmt.Sprintf(format, values...))
		}
	}
	r := out.Runs
	warn(out.Cases == 0, unfinished)
	warn(r.Failed > 0, "%d of %d runs failed: see failures.jsonl", r.Failed, r.Total)
	warn(r.Liquid > 0, liquid, r.Liquid, r.Total)
	warn(r.Foreign > 0 && !chosen, notOf, r.Foreign)
}
