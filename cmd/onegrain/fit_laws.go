package main

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"text/template"

	"onegrain/analysis/fit"
	"onegrain/analysis/logbook"
	"onegrain/analysis/tally"
	"onegrain/studies/liquid"
)

// faceFitted is what `fit growth` gives of one kind of face.
type faceFitted struct {
	Face  string `json:"face"`
	Block string `json:"block"` // to be pasted into a study
	*fit.GrowthFit
}

// growthFitted is all that `fit growth` gives.
type growthFitted struct {
	File     string       `json:"file"`
	Faces    []faceFitted `json:"faces"`
	Warnings []string     `json:"warnings"` // of rows that were left out
}

// growth fits the engine's own law, so that what is fitted is what a simulation grows with.
func (q *fitting) growth(s streams, path string) error {
	sheet, err := q.sheet(path)
	if err != nil {
		return err
	}
	rows, leftOut := sheet.Lengths(q.peritecticC)
	if err := sheet.Err(); err != nil {
		return err
	}
	if len(rows) == 0 {
		return usage(fmt.Errorf("%s: no row has grown; %s", path, strings.Join(leftOut, "; ")))
	}
	all := growthFitted{path, []faceFitted{}, append([]string{}, leftOut...)}
	var laws []fittedLaw
	var failed []string
	law := func(s logbook.Stage, exponent float64) float64 { return liquid.Stage(s).GrownMM(exponent) }
	for _, face := range []string{"a", "c"} {
		of := slices.DeleteFunc(slices.Clone(rows), func(r logbook.Length) bool { return r.Face != face })
		if len(of) == 0 {
			continue
		}
		f, err := fit.Growth(of, law, q.constant)
		if err != nil {
			failed = append(failed, q.undecided(path, face+" faces", err, "material.growth_"+face+".exponent"))
			continue
		}
		t := &grid{head: []string{"line", "run", "undercooling K", "hours", "grown mm", "law mm", "off by %",
			"off by its error", "note"}}
		for k, r := range f.Rows {
			t.add(fmt.Sprint(of[k].Number), of[k].Run, course(r.Stage), short6(r.Stage.Hours), digits(r.GrownMM, 3),
				digits(r.FittedMM, 3), signed(r.ResidualPercent), signed(r.Studentised), of[k].Note)
		}
		p := faceFitted{Face: face, GrowthFit: f}
		p.Block = block("growth", struct {
			faceFitted
			File, Peritectic string
			Apart            bool // from 10 K
		}{p, path, q.peritectic(), !f.Given && math.Abs(f.MiddleK-10) > 0.5})
		all.Faces = append(all.Faces, p)
		laws = append(laws, fittedLaw{face + " faces", p.Block, t, f.Warnings})
	}
	return q.print(s, all, laws, leftOut, failed)
}

// block fills in the block of a law: a template beside the pages of help.
func block(law string, with any) string {
	t := template.Must(template.New("").Funcs(template.FuncMap{
		"plural": plural, "kelvins": kelvins, "interval": interval, "size": liquidText,
		"digits": digits[float64], "real": digits[tally.Real],
	}).ParseFS(pages, "help/fit/"+law+"-block.txt"))
	var b strings.Builder
	if err := t.ExecuteTemplate(&b, law+"-block.txt", with); err != nil {
		panic(err) // a fault of the template, which a test fills in
	}
	return b.String()
}

// peritectic is what undercoolings are counted from, °C; empty where that is not known.
func (q *fitting) peritectic() string {
	if math.IsNaN(q.peritecticC) {
		return ""
	}
	return short6(q.peritecticC)
}

// placeFitted is what `fit nuclei` gives of one place.
type placeFitted struct {
	Place string `json:"place"`
	Unit  string `json:"unit"`  // mm3 or mm2
	Block string `json:"block"` // to be pasted into a study; remarks alone where there is no law
	*fit.NucleiFit
}

// nucleiFitted is all that `fit nuclei` gives.
type nucleiFitted struct {
	File     string        `json:"file"`
	Body     string        `json:"body,omitempty"` // the study whose body was grown along the rows
	Places   []placeFitted `json:"places"`
	Warnings []string      `json:"warnings"` // of rows that were left out
}

func (q *fitting) nuclei(s streams, path string) error {
	var body *logbook.Body
	var err error
	if q.body != "" {
		if body, err = q.seededBody(); err != nil {
			return err
		}
	}
	if math.IsNaN(q.peritecticC) {
		return usage(errors.New("the law counts with the temperature: give --peritectic C, " +
			"or --base NAME for a row of `onegrain materials`, or --body STUDY.toml"))
	}
	sheet, err := q.sheet(path)
	if err != nil {
		return err
	}
	if body != nil {
		s.say("growing the body of %s along %s", q.body, plural(sheet.Len(), "row"))
	}
	rows, leftOut := sheet.Strays(q.peritecticC, body)
	if err := sheet.Err(); err != nil {
		return err
	}
	if len(rows) == 0 {
		return usage(fmt.Errorf("%s: no undercooled row says anything about strays: "+
			"wanted strays, stray_seen, first_stray_undercooling_K or first_stray_h", path))
	}
	all := nucleiFitted{path, q.body, []placeFitted{}, append([]string{}, leftOut...)}
	var laws []fittedLaw
	var failed []string
	law := fit.Barrier{PeritecticK: q.peritecticC + liquid.KelvinAt0C,
		Expected: func(s logbook.Stage, prefactor, barrierK3 float64) float64 {
			return liquid.Stage(s).Strays(prefactor, barrierK3, q.peritecticC)
		}}
	for _, place := range logbook.Places() {
		of := slices.DeleteFunc(slices.Clone(rows), func(r logbook.Strays) bool { return r.Place != place })
		if len(of) == 0 {
			continue
		}
		f, err := fit.Nuclei(of, law, q.constant)
		if err != nil {
			failed = append(failed, q.undecided(path, place, err, "nucleation.melt.barrier_K3"))
			continue
		}
		p := placeFitted{Place: place, Unit: of[0].Unit, NucleiFit: f}
		p.Block = block("nuclei", struct {
			placeFitted
			File, Body, Peritectic, Of string
			Count                      int
		}{p, path, q.body, q.peritectic(), strings.NewReplacer("2", "²", "3", "³").Replace(p.Unit), len(of)})
		all.Places = append(all.Places, p)
		laws = append(laws, fittedLaw{place, p.Block, p.table(of), f.Warnings})
	}
	return q.print(s, all, laws, leftOut, failed)
}

// table are the rows beside the law; nil where there is no law.
func (p placeFitted) table(rows []logbook.Strays) *grid {
	if len(p.Rows) == 0 {
		return nil
	}
	size := map[string]string{"mm3": "liquid mm³", "mm2": "area mm²"}[p.Unit]
	t := &grid{head: []string{"line", "run", "undercooling K", "hours", size, "strays", "law expects", "chance", "note"}}
	for k, r := range p.Rows {
		t.add(fmt.Sprint(rows[k].Number), rows[k].Run, course(r.Stage), digits(r.Stage.Hours, 3), liquidText(r.Size), r.Seen,
			digits(r.Expected, 2), digits(r.Chance, 2), rows[k].Note)
	}
	return t
}

// liquidText is a volume or an area without digits that nobody needs.
func liquidText(x float64) string {
	if x < 100 {
		return digits(x, 3)
	}
	return fmt.Sprintf("%.0f", x)
}

// course is the undercooling of a stage.
func course(s logbook.Stage) string { return strings.TrimSuffix(kelvins(s.FromK, s.ToK), " K") }

func kelvins(from, to float64) string {
	if from == to {
		return digits(from, 4) + " K"
	}
	return fmt.Sprintf("%s to %s K", digits(from, 4), digits(to, 4))
}

// interval says both ends with as many digits as tell them apart, or which of them is open.
func interval(e fit.Estimate) string {
	n := 3
	if span := math.Abs(float64(e.High-e.Low)) / max(math.Abs(float64(e.High)), math.Abs(float64(e.Low))); span > 0 {
		n = min(max(2-int(math.Floor(math.Log10(span))), 3), 6)
	}
	low, high := digits(e.Low, n), digits(e.High, n)
	switch {
	case e.Low.Known() && e.High.Known():
		return low + " to " + high
	case e.Low.Known():
		return low + " or more, open upwards"
	case e.High.Known():
		return high + " or less, open downwards"
	}
	return "open to both sides"
}

// digits is a figure of so many digits, as TOML takes it; a dash where there is none.
func digits[F ~float64](x F, n int) string {
	if math.IsNaN(float64(x)) {
		return "-"
	}
	return fmt.Sprintf("%.*g", n, x)
}

// signed is a figure with its sign, which nothing does not have.
func signed(x tally.Real) string {
	switch text := fmt.Sprintf("%+.1f", x); {
	case !x.Known():
		return "-"
	case text == "+0.0", text == "-0.0":
		return "0.0"
	default:
		return text
	}
}
