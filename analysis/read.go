package analysis

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"

	"onegrain/analysis/joints"
	"onegrain/analysis/magnet"
	"onegrain/analysis/window"
	"onegrain/studies/table"
)

const (
	attempts = 5   // at reading a folder in which files are just being merged
	perCase  = 200 // cases of which the runs are told one by one
)

// Read tells what a results folder shows. A study without cases, runs or success is no error. The error names an option that cannot be, or a file
// that cannot be read or is damaged (table.Corrupt).
func Read(f *table.Folder, o Options) (*Findings, error) {
	for try := 1; ; try++ {
		out, err := read(f, o)
		if try == attempts || !errors.Is(err, fs.ErrNotExist) {
			return out, err
		}
	}
}

func read(f *table.Folder, o Options) (*Findings, error) {
	text, err := f.Study()
	if err != nil {
		return nil, err
	}
	known, err := readFacts(text)
	out := &Findings{Title: known.Title, Design: known.Design.Kind, JoinDeg: known.Domain.JoinDeg, Warnings: []string{}, Axes: []window.Axis{}, PerCase: []CaseRuns{}}
	if err != nil {
		out.Warnings = append(out.Warnings, fmt.Sprintf("study.toml in the results cannot be read (%v): what it leaves open is taken for the defaults", err))
	}
	cases, err := f.Table("cases")
	if err != nil {
		return nil, err
	}
	if cases, err = only(cases, o.Fixed); err != nil {
		return nil, err
	}
	s := study(cases)
	s.Common = known.Random.Pairing != "independent"
	if _, err := cases.Reals("placings"); err != nil && bytes.Contains(text, []byte("_sd_deg")) {
		for i := range s.Cases { // of a version that averaged over the runs and did not say so
			s.Cases[i].Placings = max(1, s.Cases[i].Runs)
		}
	}
	out.Axes, out.Cases = append(out.Axes, s.Axes...), len(s.Cases)
	if out.Window, err = window.Find(s, window.Options{Chance: o.Chance, X: o.X, Y: o.Y}); err != nil {
		return nil, err
	}
	if out.Influence, err = rankings(cases, s, out.Design); err != nil {
		return nil, err
	}
	if o.Law == (magnet.Law{}) {
		o.Law = known.law()
	}
	if err := out.runs(f, s, o.Law); err != nil {
		return nil, err
	}
	out.Warnings = append(out.Warnings, out.complaints(len(o.Fixed) > 0)...)
	return out, nil
}

// runs reads what is told of each run.
func (out *Findings) runs(f *table.Folder, s window.Study, law magnet.Law) error {
	book, err := joints.NewBook(law)
	if err != nil {
		return err
	}
	k := newKeeper(s, book)
	if err := k.readRuns(f); err != nil {
		return err
	}
	at, reaches := best(s, out.Window)
	if at >= 0 {
		c := s.Cases[at]
		out.Best = &Best{ID: c.ID, Settings: settings(s, at), DiameterMM: realOf(c.DiameterMM), Chance: realOf(c.Exact), ProgrammeH: realOf(c.ProgrammeH), Reaches: reaches}
		if !out.Best.Chance.Known() && c.Runs > 0 {
			out.Best.Chance = realOf(float64(c.Hits) / float64(c.Runs))
		}
		if run, replicate := k.first(at); run >= 0 {
			book.Watch(run)
			out.Best.Replicate = replicate
		}
	}
	if err := k.readGrains(f); err != nil {
		return err
	}
	if err := k.readBoundaries(f); err != nil {
		return err
	}
	out.Runs = k.total()
	if len(s.Cases) <= perCase {
		out.PerCase = k.perCase(s)
	}
	out.Scatter, out.Boundaries = book.Scatter(), book.Boundaries()
	return nil
}

// complaints of the study as a whole.
func (out *Findings) complaints(chosen bool) (all []string) {
	r := out.Runs
	if out.Cases == 0 {
		all = append(all, "the folder has no finished table of cases: run the same command again, or wait for the other shards, and merge")
	}
	if r.Failed > 0 {
		all = append(all, fmt.Sprintf("%d of %d runs failed: see failures.jsonl", r.Failed, r.Total))
	}
	if r.Liquid > 0 {
		all = append(all, fmt.Sprintf("in %d of %d runs the programme ended before the body was solid: let it go on to a lower temperature", r.Liquid, r.Total))
	}
	if r.Foreign > 0 && !chosen {
		all = append(all, fmt.Sprintf("%d runs in the folder belong to no case of the study as it stands and are left out", r.Foreign))
	}
	return all
}
