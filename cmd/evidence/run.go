package main

import (
	"bytes"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"

	"onegrain/analysis/evidence"
	"onegrain/cmd/evidence/battery"
	"onegrain/cmd/evidence/door"
)

// options are the flags.
type options struct {
	program, out, compact, items string
	cores                        int
	short                        bool
}

func parse(args []string) (options, error) {
	var o options
	f := flag.NewFlagSet("evidence", flag.ContinueOnError)
	f.StringVar(&o.program, "program", "bin/onegrain", "the program to judge")
	f.StringVar(&o.out, "out", "results/evidence", "folder for the page")
	f.StringVar(&o.compact, "compact", "", "also write the page as JSON to this file")
	f.StringVar(&o.items, "items", "", "numbers of the items to do, as 1,3; all if empty")
	f.IntVar(&o.cores, "cores", runtime.GOMAXPROCS(0), "studies that run at once")
	f.BoolVar(&o.short, "short", false, "the form of seconds: fewer runs, coarser cells")
	if err := f.Parse(args); err != nil {
		return o, err
	}
	if f.NArg() > 0 {
		return o, fmt.Errorf("%q: wanted flags alone", f.Arg(0))
	}
	return o, nil
}

// run does the battery and writes its page; the error says how many findings failed.
func run(args []string, says io.Writer) error {
	o, err := parse(args)
	if err != nil {
		return err
	}
	items, err := chosen(o.items)
	if err != nil {
		return err
	}
	dir, err := os.MkdirTemp("", "evidence-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	d, err := door.Open(o.program, dir, o.cores)
	if err != nil {
		return err
	}
	page := evidence.Run(items, d, evidence.Size(o.short))
	if err := write(o, page); err != nil {
		return err
	}
	return tell(says, o, page)
}

// chosen are the items with the numbers in a list.
func chosen(list string) ([]evidence.Item, error) {
	all := battery.All()
	if list == "" {
		return all, nil
	}
	var some []evidence.Item
	for _, word := range strings.Split(list, ",") {
		n, err := strconv.Atoi(strings.TrimSpace(word))
		i := slices.IndexFunc(all, func(t evidence.Item) bool { return t.Number == n })
		if err != nil || i < 0 {
			return nil, fmt.Errorf("-items %q: there is no item %s", list, word)
		}
		some = append(some, all[i])
	}
	return some, nil
}

// write puts the page into its folder.
func write(o options, p evidence.Page) error {
	files := []struct {
		path string
		form func(io.Writer) error
	}{
		{filepath.Join(o.out, "evidence.md"), p.Markdown},
		{filepath.Join(o.out, "evidence.html"), p.HTML},
		{filepath.Join(o.out, "evidence.json"), p.JSON},
		{o.compact, p.JSON},
	}
	if err := os.MkdirAll(o.out, 0o777); err != nil {
		return err
	}
	for _, f := range files {
		if f.path == "" {
			continue
		}
		var text bytes.Buffer
		if err := f.form(&text); err != nil {
			return err
		}
		if err := os.WriteFile(f.path, text.Bytes(), 0o666); err != nil {
			return err
		}
	}
	return nil
}

// tell says what failed, and where the page is.
func tell(w io.Writer, o options, p evidence.Page) error {
	for _, t := range p.Items {
		if t.Error != "" {
			fmt.Fprintf(w, "%d. %s: broke off: %s\n", t.Number, t.Name, t.Error)
		}
		for _, f := range t.Findings {
			if f.Failed() {
				fmt.Fprintf(w, "%d. %s: %s, %s: %s: expected %g, found %g, tolerance %g; canary %s: %g\n",
					t.Number, t.Name, f.Quantity, f.Where, f.Verdict, f.Expected, f.Found, f.Tolerance, f.Canary.Wrong, f.Canary.Expected)
			}
		}
	}
	fmt.Fprintf(w, "%d findings: %d agree, %d reported, %d failed; %d canaries refused: %s\n",
		p.Findings, p.Agree, p.Reported, p.Failed, p.Refused, filepath.Join(o.out, "evidence.html"))
	if p.Failed > 0 {
		return fmt.Errorf("%d failed", p.Failed)
	}
	return nil
}
