package studies

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"onegrain/studies/border"
	"onegrain/studies/design"
	"onegrain/studies/laws"
	"onegrain/studies/strict"
)

// ModelVersion names the physics of the engine. It is part of every case's identity: results of
// another version are other results.
const ModelVersion = "3"

// Study is a study file that was read, checked and found to work.
type Study struct {
	Title      string
	Seed       int64   // of the random streams
	Replicates int     // most runs of each case
	Precision  float64 // half width of the 95 % interval at which a case stops early; 0 = never
	Common     bool    // replicate k meets the same nuclei in every case
	EachLaw    bool    // each replicate draws its law from material.laws
	JoinDeg    float64 // touching seeded grains within it are one domain; Planned.JoinDeg where it is varied
	History    bool    // keep.history
	Fields     string  // keep.fields: "none", "first" or "all"
	Text       []byte  // the file as given

	*design.Design // its axes, and how they make cases

	doc       *strict.Document
	outline   string // of a mask: a text that tells its picture from others
	record    string // of a controller's record: the same
	converter *border.Converter
}

// checkedCases is up to how many cases are each checked before a study is accepted. In a larger one
// a case that cannot work is found when its turn comes.
const checkedCases = 10000

// Problems is everything that is wrong with a study: what Load returns as its error.
type Problems = strict.Problems

// Load reads a study. name is what errors call the file; open reads files beside it (outline, table
// of cases, laws) and may be nil; memory is what one run may use, in bytes, 0 = any; decode reads a
// file of laws, and without it a study that names one is refused. The error is a strict.Problems:
// everything that is wrong.
func Load(name string, text []byte, open func(name string) ([]byte, error), memory int64,
	decode ...laws.Decoder) (*Study, error) {
	if open == nil {
		open = func(string) ([]byte, error) { return nil, fs.ErrNotExist }
	}
	keys := schema()
	given, found := strict.Read(name, string(text), keys)
	if given == nil {
		return nil, found.Err()
	}
	l := &loader{Study: &Study{Text: text, converter: &border.Converter{Memory: memory}}, found: found}
	if len(decode) > 0 {
		l.decode = decode[0]
	}
	l.complete(given, keys, open)
	if len(l.found) > 0 {
		return nil, l.found.Err()
	}
	l.settle()
	return l.Study, nil
}

type loader struct {
	*Study
	found  strict.Problems
	decode laws.Decoder // nil: there is none
}

func (l *loader) add(p strict.Problems) { l.found = append(l.found, p...) }

// complete checks everything beyond single values. The document of the study is that of its first
// case.
func (l *loader) complete(given *strict.Document, keys strict.Schema, open func(name string) ([]byte, error)) {
	given.Fill("design.kind", "grid")
	given.Fill("random.seed", int64(1))
	var p strict.Problems
	l.Design, p = design.Read(given, keys, border.Sections(), open)
	l.add(p)
	l.doc = given
	if len(l.found) == 0 && l.Cases() > 0 {
		l.doc, p = given.With(l.Keys(), l.Values(0))
		l.add(p)
	}
	l.add(takeFrom(l.doc))
	l.melt(open)
	l.add(l.blameLaws(blameBase(l.doc, l.doc.Complete())))
	l.picture(open)
	l.controller(open)
	if len(l.found) > 0 {
		_, p = l.converter.Draft(l.doc) // what can be said without a grid
		l.add(p)
		return
	}
	l.add(l.converter.Check(l.doc))
	if len(l.found) == 0 {
		l.add(l.variants())
	}
}

// picture reads the outline of a mask.
func (l *loader) picture(open func(name string) ([]byte, error)) {
	const key = "body.file"
	if !l.doc.Has(key) || l.doc.Text("body.shape") != "mask" {
		return
	}
	data, err := open(l.doc.Text(key))
	if err != nil {
		l.add(l.doc.Problem(key, "cannot be read: "+design.Plain(err), "it must lie beside the study"))
		return
	}
	if l.Study.outline, err = l.converter.SetOutline(data); err != nil {
		l.add(l.doc.Problem(key, err.Error(), ""))
	}
}

// controller reads the record that takes the place of stages.
func (l *loader) controller(open func(name string) ([]byte, error)) {
	const key = "schedule.file"
	if !l.doc.Has(key) {
		return
	}
	name := l.doc.Text(key)
	data, err := open(name)
	if err != nil {
		l.add(l.doc.Problem(key, "cannot be read: "+design.Plain(err), "it stands beside the study"))
		return
	}
	var found strict.Problems
	if l.Study.record, err = l.converter.SetRecord(name, data); errors.As(err, &found) {
		l.add(found) // each with its line in the record
	}
}

// melt reads the file of laws.
func (l *loader) melt(open func(name string) ([]byte, error)) {
	if !l.doc.Has(laws.LawFile) {
		return
	}
	data, err := open(l.doc.Text(laws.LawFile))
	if err != nil {
		l.add(l.doc.Problem(laws.LawFile, "cannot be read: "+design.Plain(err), "it stands beside the study"))
		return
	}
	m, err := laws.ReadMelt(l.doc.Text(laws.LawFile), data, l.decode)
	if err != nil {
		found := l.doc.Problem(laws.LawFile, err.Error(), "wanted a file that `onegrain fit laws` has written")
		found[0].Cause = err
		l.add(found)
		return
	}
	m.Fill(l.doc)
	l.converter.Melt = m
}

// blameLaws leaves out what a file of laws would have said, had it been read.
func (l *loader) blameLaws(found strict.Problems) strict.Problems {
	return slices.DeleteFunc(found, func(p strict.Problem) bool {
		return l.doc.Has(laws.LawFile) && l.converter.Melt == nil && p.Key == "material.peritectic_C" && p.Value == ""
	})
}

// variants checks the cases after the first. The first case that shows a problem is named, the
// others are counted.
func (l *loader) variants() strict.Problems {
	var faults strict.Problems
	others := map[string]int{}
	for i := 1; i < min(l.Cases(), checkedCases); i++ {
		d, found := l.document(i)
		for _, p := range append(found, l.converter.Check(d)...) {
			if _, known := others[p.Key]; known {
				others[p.Key]++
				continue
			}
			others[p.Key] = 0
			p.Hint = strings.TrimPrefix(p.Hint+"; in the case "+l.Name(i), "; ")
			faults = append(faults, p)
		}
	}
	for i, p := range faults {
		if n := others[p.Key]; n > 0 {
			faults[i].Hint += fmt.Sprintf(" (and %d more)", n)
		}
	}
	return faults
}

// document is that of case i, with what its values themselves have wrong.
func (s *Study) document(i int) (*strict.Document, strict.Problems) {
	if s.Varied() == 0 {
		return s.doc, nil
	}
	d, found := s.doc.With(s.Keys(), s.Values(i))
	if s.Branches() {
		found = append(found, d.Complete()...)
	}
	return d, found
}

// settle copies what others ask for out of the document.
func (l *loader) settle() {
	d := l.doc
	l.Title, l.Seed, l.Replicates = d.Text("title"), d.Whole("random.seed"), int(d.Whole("random.replicates"))
	l.EachLaw = l.converter.Melt != nil && d.Text("random.laws") != "middle"
	l.Precision, l.Common = d.Number("random.precision"), d.Text("random.pairing") == "common"
	l.JoinDeg, l.History, l.Fields = d.Number("domain.join_deg"), d.Flag("keep.history"), d.Text("keep.fields")
}
