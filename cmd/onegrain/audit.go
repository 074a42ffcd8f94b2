package main

import (
	"fmt"
	"runtime"

	"github.com/spf13/cobra"

	"onegrain/analysis/plain"
	"onegrain/studies/run"
	"onegrain/studies/table"
)

func auditCommand(s streams) *cobra.Command {
	var asJSON bool
	c := command("audit RESULTS", func(_ *cobra.Command, args []string) error { return audit(s, args[0], asJSON) })
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON instead of a table")
	return c
}

// audited is what `audit --json` tells.
type audited struct {
	Sound bool `json:"sound"`
	*table.Audit
	Content string `json:"content_sha256,omitempty"` // of sound results
}

// audit reads every file of a results folder and says what is not as it was written.
func audit(s streams, dir string, asJSON bool) error {
	folder, err := openResults(s, dir)
	if err != nil {
		return err
	}
	a, err := folder.Audit(casesOf(dir, folder))
	if err != nil {
		return err
	}
	told := audited{Sound: len(a.Damage) == 0, Audit: a}
	if told.Sound {
		if told.Content, err = folder.ContentHash(); err != nil {
			return err
		}
	}
	if asJSON {
		err = printJSON(s.out, told)
	} else {
		err = printAudit(s, dir, told)
	}
	if err == nil && !told.Sound {
		err = failure(exitCorrupt, "%s found in %s, listed above; nothing was changed",
			plain.Plural(len(a.Damage), "damage"), dir)
	}
	return err
}

// casesOf knows the cases of the study in a results folder by their identities; nil where the study
// cannot be read here.
func casesOf(dir string, folder *table.Folder) func(id string) bool {
	v, err := folder.Version()
	if err != nil {
		return nil // which audit finds itself
	}
	study, err := studyIn(dir, v)
	if err != nil || v.Model == "" {
		return nil
	}
	ids := run.Identities(study, v.Model, runtime.GOMAXPROCS(0))
	return func(id string) bool {
		_, of := ids[id]
		return of
	}
}

// printAudit prints an audit for people: damage and the verdict on stdout, what harms nothing on
// stderr.
func printAudit(s streams, dir string, a audited) error {
	for _, note := range a.Notes {
		s.say("note: %s", note)
	}
	for _, d := range a.Damage {
		if _, err := fmt.Fprintln(s.out, d.Error()); err != nil {
			return err
		}
	}
	if !a.Sound {
		return nil
	}
	_, err := fmt.Fprintf(s.out, "%s: %s, %s: sound\ncontent %s\n", dir, plain.Plural(a.Files, "file"),
		plain.Plural(a.Rows, "row"), a.Content)
	return err
}
