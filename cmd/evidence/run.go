package main

import (
	"bytes"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"

	"onegrain/analysis/evidence"
	"onegrain/cmd/evidence/battery"
	"onegrain/cmd/evidence/door"
)

// options are the flags.
type options struct {
	program, out, compact string
	items                 []int
	cores                 int
	short                 bool
}

func parse(args []string) (options, error) {
	var o options
	f := flag.NewFlagSet("evidence", flag.ContinueOnError)
	f.StringVar(&o.program, "program", "bin/onegrain", "the program to judge")
	f.StringVar(&o.out, "out", "results/evidence", "folder for the page")
	f.StringVar(&o.compact, "compact", "", "also write the page as JSON to this file")
	f.Func("items", "numbers of the items to do, as 1,3; all if empty", func(list string) (err error) {
		for _, word := range strings.Split(list, ",") {
			n, e := strconv.Atoi(strings.TrimSpace(word))
			if e != nil {
				return fmt.Errorf("there is no item %s", word)
			}
			o.items = append(o.items, n)
		}
		return nil
	})
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
	items, err := battery.Items(o.items...)
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
	page := battery.Run(d, o.short, items)
	if err := write(o, page); err != nil {
		return err
	}
	return report(says, o, page)
}

// write puts the page into its folder.
func write(o options, p evidence.Page) error {
	if err := os.MkdirAll(o.out, 0o777); err != nil {
		return err
	}
	files := map[string]func(io.Writer) error{filepath.Join(o.out, "evidence.md"): p.Markdown,
		filepath.Join(o.out, "evidence.html"): p.HTML, filepath.Join(o.out, "evidence.json"): p.JSON}
	if o.compact != "" {
		files[o.compact] = p.JSON
	}
	for path, form := range files {
		var text bytes.Buffer
		if err := form(&text); err != nil {
			return err
		}
		if err := os.WriteFile(path, text.Bytes(), 0o666); err != nil {
			return err
		}
	}
	return nil
}

// report says what failed, and where the page is.
func report(w io.Writer, o options, p evidence.Page) error {
	for _, t := range p.Items {
		if t.Error != "" {
			fmt.Fprintf(w, "%d. %s: broke off: %s\n", t.Number, t.Name, t.Error)
		}
		for _, f := range t.Findings {
			if f.Failed() {
				fmt.Fprintf(w, "%d. %s: %s, %s: %s: expected %g, found %g, tolerance %g; canary %s: %g\n", t.Number, t.Name,
					f.Quantity, f.Where, f.Verdict, f.Expected, f.Found, f.Tolerance, f.Canary.Wrong, f.Canary.Expected)
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
