package main

import (
	"errors"
	"fmt"
	"math"
	"strings"

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
		of := where(rows, func(r logbook.Length) bool { return r.Face == face })
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
		block := q.growthBlock(path, face, f)
		all.Faces = append(all.Faces, faceFitted{face, block, f})
		laws = append(laws, fittedLaw{face + " faces", block, t, f.Warnings})
	}
	return q.print(s, all, laws, leftOut, failed)
}

// where are the rows that have something.
func where[R any](rows []R, has func(R) bool) (some []R) {
	for _, r := range rows {
		if has(r) {
			some = append(some, r)
		}
	}
	return some
}

// growthBlock is the law as a study takes it.
func (q *fitting) growthBlock(path, face string, f *fit.GrowthFit) string {
	var b strings.Builder
	fmt.Fprintf(&b, "# onegrain fit growth %s: %s faces, %s, %s\n", path, face, plural(len(f.Rows), "run"),
		kelvins(f.LowK, f.HighK))
	exponent := "exponent " + interval(f.Exponent)
	if f.Given {
		exponent = "exponent given"
	}
	if f.Freedom < 1 {
		b.WriteString("# no intervals: as many runs as constants\n")
	} else {
		fmt.Fprintf(&b, "# 95 %% intervals: rate_at_10K_mm_per_h %s, %s\n", interval(f.Rate), exponent)
		if !f.Given && math.Abs(f.MiddleK-10) > 0.5 {
			fmt.Fprintf(&b, "# best known at %.1f K: %s mm/h, interval %s\n", f.MiddleK, digits(f.Middle.Value, 4),
				interval(f.Middle))
		}
		fmt.Fprintf(&b, "# scatter of a run about the law: %s %%\n", digits(f.ScatterPercent, 2))
	}
	fmt.Fprintf(&b, "%s[material.growth_%s]\nlaw = \"power\"\nrate_at_10K_mm_per_h = %s\nexponent = %s\n",
		q.reference(), face, digits(f.Rate.Value, 4), digits(f.Exponent.Value, 4))
	return b.String()
}

// reference is the remark on what undercoolings are counted from.
func (q *fitting) reference() string {
	if math.IsNaN(q.peritecticC) {
		return ""
	}
	return fmt.Sprintf("# holds with material.peritectic_C = %s\n", short6(q.peritecticC))
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
		of := where(rows, func(r logbook.Strays) bool { return r.Place == place })
		if len(of) == 0 {
			continue
		}
		f, err := fit.Nuclei(of, law, q.constant)
		if err != nil {
			failed = append(failed, q.undecided(path, place, err, "nucleation.melt.barrier_K3"))
			continue
		}
		p := placeFitted{place, of[0].Unit, q.nucleiBlock(path, of, f), f}
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

// nucleiBlock is the law as a study takes it, or what is known instead.
func (q *fitting) nucleiBlock(path string, rows []logbook.Strays, f *fit.NucleiFit) string {
	var b strings.Builder
	if q.body != "" {
		path += " --body " + q.body
	}
	place, of := rows[0].Place, rows[0].Unit
	unit := strings.NewReplacer("2", "²", "3", "³").Replace(of)
	title := fmt.Sprintf("# onegrain fit nuclei %s: %s, %s", path, place, plural(len(rows), "row"))
	if len(f.Bounds) > 0 {
		fmt.Fprintf(&b, "%s without a stray: no law, an upper bound of the rate\n"+
			"# in 95 of 100 cases, whatever the law, if it does not fall with undercooling:\n", title)
		for _, one := range f.Bounds {
			fmt.Fprintf(&b, "#   at %s K at most %s per %s h (3.0 over %s %s h there or deeper)\n",
				short(one.UndercoolingK), digits(one.RatePerUnitH, 2), unit, short6(one.UnitHours), unit)
		}
		if !f.Given {
			return b.String()
		}
	}
	if f.Upper {
		fmt.Fprintf(&b, "# for the barrier given, the largest prefactor of 95 in 100 cases; "+
			"one stray a day in %s %s at %s K or deeper\n", liquidText(f.Size), unit, digits(f.Daily.Value, 3))
	} else {
		barrier, goes := "barrier_K3 "+interval(f.Barrier), " (one goes with the other)"
		if f.Given {
			barrier, goes = "barrier given", ""
		}
		fmt.Fprintf(&b, "%s with %s, %s\n# 95 %% intervals: %s, prefactor %s%s\n", title, plural(f.Strays, "stray"),
			kelvins(f.LowK, f.HighK), barrier, interval(f.Prefactor), goes)
		fmt.Fprintf(&b, "# one stray a day in %s %s at %s K, interval %s K\n",
			liquidText(f.Size), unit, digits(f.Daily.Value, 4), interval(f.Daily))
	}
	fmt.Fprintf(&b, "%s[nucleation.%s]\nlaw = \"barrier\"\nprefactor_per_%s_h = %s\nbarrier_K3 = %s\n",
		q.reference(), place, of, digits(f.Prefactor.Value, 5), digits(f.Barrier.Value, 5))
	return b.String()
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
