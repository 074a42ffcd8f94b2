package whole

import (
	"errors"
	"io"

	"onegrain/analysis"
	"onegrain/analysis/report"
	"onegrain/analysis/report/plots"
	"onegrain/studies"
	"onegrain/studies/table"
)

// PageName is the file of the page.
const PageName = "report.html"

// mostFailures are told on a page.
const mostFailures = 20

// Report is a report in the making.
type Report struct {
	Study      *studies.Study                          // nil where it cannot be used
	Case       func(id string) (index int, found bool) // of the study, by its identity in the results
	NoPictures bool                                    // do not grow a run again
	Say        func(format string, values ...any)      // takes what is being done, for people

	from  report.Sources
	album *plots.Album
}

// Read gathers what a page says of the findings in a results folder; program and command make the
// page, and name is what it calls the folder. unread is why the study cannot be used, nil where it
// can. The error is one of storage.
func Read(
	folder *table.Folder, name string, found *analysis.Findings, unread error, program, command string,
) (*Report, error) {
	text, err := folder.Study()
	if err != nil {
		return nil, err
	}
	from := report.Sources{Findings: found, Folder: name, Study: string(text), Program: program,
		Model: studies.ModelVersion, Command: command}
	if unread != nil {
		from.NoCase = "the study in the results cannot be used here (" + firstLine(unread) + "); where it needs files " +
			"that lie beside it, give --study with its path"
	}
	var damaged *table.Corrupt // a record that cannot be read is left to `audit`
	if from.Sessions, err = folder.Sessions(); err != nil && !errors.As(err, &damaged) {
		return nil, err
	}
	from.Failures, from.Failed, err = folder.Failures(mostFailures)
	return &Report{from: from}, err
}

// Write draws the figures and puts the page in place last, each file with put.
func (r *Report) Write(put func(name string, content func(io.Writer) error) error) error {
	r.album = plots.NewAlbum(put)
	r.Say("drawing charts")
	for _, p := range plots.Of(r.from.Findings) {
		if err := r.album.Add(p); err != nil {
			return err
		}
	}
	if r.Study != nil {
		r.from.Laws = r.Study.Laws()
		if err := r.look(); err != nil {
			return err
		}
	}
	r.from.Figures = r.album.Figures
	return put(PageName, r.from.HTML)
}
