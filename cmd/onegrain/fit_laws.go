package main

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"onegrain/analysis/fit"
	"onegrain/analysis/fit/block"
	"onegrain/analysis/logbook"
	"onegrain/analysis/plain"
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
		text, rows := block.Growth(path, face, q.peritecticC, f, of)
		all.Faces = append(all.Faces, faceFitted{face, text, f})
		laws = append(laws, fittedLaw{face + " faces", text, rows, f.Warnings})
	}
	return q.print(s, all, laws, leftOut, failed)
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
		s.say("growing the body of %s along %s", q.body, plain.Plural(sheet.Len(), "row"))
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
		text, rows := block.Nuclei(path, q.body, q.peritecticC, f, of)
		all.Places = append(all.Places, placeFitted{place, of[0].Unit, text, f})
		laws = append(laws, fittedLaw{place, text, rows, f.Warnings})
	}
	return q.print(s, all, laws, leftOut, failed)
}
