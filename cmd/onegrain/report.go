package main

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"image"
	_ "image/gif" // sizes of figures
	"image/png"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/image/draw"

	"onegrain/analysis"
	"onegrain/analysis/chart/paper"
	proof "onegrain/analysis/evidence" // "evidence" is a constant of progress.go
	"onegrain/analysis/report"
	"onegrain/analysis/report/plots"
	"onegrain/studies"
	"onegrain/studies/disk"
	"onegrain/studies/table"
)

// reporting is what the options of `report` say.
type reporting struct {
	results, out       string
	study              string // where it stood, for the files beside it
	chance             float64
	axes, only         []string
	noPictures, asJSON bool
	command            string
}

func reportCommand(s streams) *cobra.Command {
	var r reporting
	c := command("report RESULTS", func(_ *cobra.Command, args []string) error {
		r.results = args[0]
		return r.run(s)
	})
	f := c.Flags()
	f.Float64Var(&r.chance, "chance", 0.95, "wanted `chance` of a single grain")
	f.StringVar(&r.out, "out", "", "`folder` for the page (default: the results folder)")
	f.StringSliceVar(&r.axes, "axes", nil, "one or two varied `columns` that make the window, with a comma between (default: those with the most values)")
	f.StringArrayVar(&r.only, "only", nil, "of a varied `column=value` the cases with this value alone; may be repeated")
	f.StringVar(&r.study, "study", "", "`file` of the study, where it needs others that stand beside it: an outline, a table of cases")
	f.BoolVar(&r.noPictures, "no-pictures", false, "do not grow the best case again for pictures")
	f.BoolVar(&r.asJSON, "json", false, "print the findings as JSON and make no page")
	return c
}

// options are those of the analysis.
func (r *reporting) options() (o analysis.Options, err error) {
	if err := likely(r.chance); err != nil {
		return o, err
	}
	o.Chance = r.chance
	if len(r.axes) > 2 {
		return o, usage(fmt.Errorf("--axes %s: a window has one or two", strings.Join(r.axes, ",")))
	}
	for i, name := range r.axes {
		*[]*string{&o.X, &o.Y}[i] = strings.TrimSpace(name)
	}
	for _, text := range r.only {
		name, value, found := strings.Cut(text, "=")
		if !found {
			return o, usage(fmt.Errorf("--only %s: wanted a varied column and a value, such as turn=parallel", text))
		}
		if o.Fixed == nil {
			o.Fixed = map[string]string{}
		}
		o.Fixed[strings.TrimSpace(name)] = strings.TrimSpace(value)
	}
	return o, nil
}

func (r *reporting) run(s streams) error {
	options, err := r.options()
	if err != nil {
		return err
	}
	folder, err := table.Open(r.results, s.disk)
	if err != nil {
		return noResults(err)
	}
	if !r.asJSON {
		s.say("reading %s", r.results)
	}
	found, err := analysis.Read(folder, options)
	if err != nil {
		return misused(err)
	}
	if found.Cases == 0 {
		return coded{fmt.Errorf("%s: no finished case yet; `onegrain run %s --out %s` goes on", r.results, filepath.Join(r.results, "study.toml"), r.results), exitStopped}
	}
	study, why := r.load(folder)
	if why == "" {
		found.Warnings = append(found.Warnings, study.Notes()...)
	}
	if r.asJSON {
		return printJSON(s.out, found)
	}
	if r.out == "" {
		r.out = r.results
	}
	return r.write(s, folder, found, study, why)
}

// load is the study of the results; why says what is in the way.
func (r *reporting) load(folder *table.Folder) (study *studies.Study, why string) {
	text, err := folder.Study()
	if err == nil {
		study, err = studies.Load("study.toml", text, besides(cmp.Or(r.study, filepath.Join(r.results, "study.toml"))), memoryThere())
	}
	if err != nil {
		return nil, "the study in the results cannot be used here (" + firstLine(err) + "); where it needs files that stand beside it, give --study with its path"
	}
	return study, ""
}

// misused marks errors of options; damage and storage have codes of their own.
func misused(err error) error {
	var corrupt *table.Corrupt
	if errors.As(err, &corrupt) || isStorage(err) {
		return err
	}
	return usage(err)
}

// write draws the figures and makes the page.
func (r *reporting) write(s streams, folder *table.Folder, found *analysis.Findings, study *studies.Study, why string) error {
	text, err := folder.Study()
	if err != nil {
		return err
	}
	from := report.Sources{Findings: found, Folder: r.results, Study: string(text), NoCase: why, Program: version(), Model: studies.ModelVersion, Command: r.asked()}
	kept, err := proof.Kept()
	if err != nil {
		return err
	}
	from.Evidence = &kept
	if from.Sessions, err = sessionsOf(r.results); err != nil {
		return err
	}
	if from.Failures, from.Failed, err = failuresOf(r.results); err != nil {
		return err
	}
	a := &album{on: s.on(), dir: r.out, figures: map[string][]report.Figure{}}
	if err := disk.MkdirAll(a.on, a.dir); err != nil {
		return err
	}
	s.say("%s", "drawing charts")
	for _, p := range plots.Of(found) {
		if err := a.add(p.Section, p.Name, p.Caption, p.Draw); err != nil {
			return err
		}
	}
	if study != nil {
		from.Laws = study.Laws()
		if err := r.look(s, &from, study, a); err != nil {
			return err
		}
	}
	from.Figures = a.figures
	page := report.Make(from)
	return r.publish(s, page, found)
}

// asked is the command line as it could be given again.
func (r *reporting) asked() string {
	text := "onegrain report " + r.results
	if r.chance != 0.95 {
		text += fmt.Sprintf(" --chance %g", r.chance)
	}
	if len(r.axes) > 0 {
		text += " --axes " + strings.Join(r.axes, ",")
	}
	for _, o := range r.only {
		text += fmt.Sprintf(" --only %q", o)
	}
	if r.study != "" {
		text += " --study " + r.study
	}
	if r.noPictures {
		text += " --no-pictures"
	}
	return text
}

// publish puts the page in place whole.
func (r *reporting) publish(s streams, page report.Page, found *analysis.Findings) error {
	if err := disk.Put(s.on(), r.out, pageName, page.HTML); err != nil {
		return err
	}
	s.say("%s", found.Window.Sentence)
	_, err := fmt.Fprintln(s.out, filepath.Join(r.out, pageName))
	return err
}

// album draws the figures of a page: as PNG for the page itself, as PNG and SVG beside it.
type album struct {
	on      disk.Disk
	dir     string
	figures map[string][]report.Figure
	carried int // bytes in the page so far
}

// mostCarried bytes of pictures make a page of less than 5 MB, a third more being added where they are written as text. What comes later
// is carried at half its resolution; beside the page it is whole.
const mostCarried = 3 << 20

const (
	pageName      = "report.html"
	figuresFolder = "report-figures"
)

// add draws one figure.
func (a *album) add(section, name, caption string, draw func(io.Writer, paper.Format) (string, error)) error {
	f := report.Figure{Caption: caption, Kind: "image/png"}
	for _, kind := range []struct {
		ending string
		format paper.Format
	}{{"png", paper.PNG}, {"svg", paper.SVG}} {
		var b bytes.Buffer
		alt, err := draw(&b, kind.format)
		if err != nil {
			return fmt.Errorf("figure %s: %w", name, err)
		}
		if kind.ending == "png" {
			f.Alt, f.Image = alt, b.Bytes()
		}
		if err := a.save(&f, name+"."+kind.ending, b.Bytes()); err != nil {
			return err
		}
	}
	return a.keep(section, f)
}

// save writes a file beside the page and notes it.
func (a *album) save(f *report.Figure, name string, content []byte) error {
	name = figuresFolder + "/" + name
	f.Files = append(f.Files, name)
	return disk.Put(a.on, a.dir, name, func(w io.Writer) error {
		_, err := w.Write(content)
		return err
	})
}

func (a *album) keep(section string, f report.Figure) error {
	size, _, err := image.DecodeConfig(bytes.NewReader(f.Image))
	if err != nil {
		return err
	}
	f.Width, f.Height = size.Width/paper.DotsPerPoint, size.Height/paper.DotsPerPoint
	if a.carried+len(f.Image) > mostCarried {
		if f.Image, err = halved(f.Image); err != nil {
			return err
		}
	}
	a.carried += len(f.Image)
	a.figures[section] = append(a.figures[section], f)
	return nil
}

// halved is a PNG at half its resolution.
func halved(picture []byte) ([]byte, error) {
	whole, err := png.Decode(bytes.NewReader(picture))
	if err != nil {
		return nil, err
	}
	r := whole.Bounds()
	half := image.NewRGBA(image.Rect(0, 0, (r.Dx()+1)/2, (r.Dy()+1)/2))
	draw.BiLinear.Scale(half, half.Bounds(), whole, r, draw.Src, nil)
	var b bytes.Buffer
	err = png.Encode(&b, half)
	return b.Bytes(), err
}
