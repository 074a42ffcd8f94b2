package report

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"
	"time"

	"onegrain/analysis"
	"onegrain/analysis/chart/scale"
	"onegrain/analysis/evidence"
	"onegrain/analysis/influence"
	"onegrain/analysis/joints"
	"onegrain/analysis/magnet"
	"onegrain/analysis/tally"
	"onegrain/analysis/window"
	"onegrain/studies/border"
	"onegrain/studies/table"
)

// lambda is the truth of the studies made here.
func lambda(rate, start float64) float64 { return 2 * rate * rate * start * start / 100 }

// grid is a study over two axes; odd cases failed where `failed` is true.
func grid(rates, starts []float64, runs int, failed bool) window.Study {
	var cases []window.Case
	var at [2][]float64
	nan := math.NaN()
	for _, r := range rates {
		for _, s := range starts {
			c := window.Case{ID: fmt.Sprintf("%g-%g", r, s), At: []float64{r, s}, Runs: runs, Exact: math.Exp(-lambda(r, s)),
				Strays: lambda(r, s), DiameterMM: 20 - r, P10: 15, P90: 21, FullH: 20 / r, ProgrammeH: 60 / r}
			c.Hits = int(c.Exact * float64(runs))
			if runs == 0 {
				c.DiameterMM, c.P10, c.P90, c.FullH = nan, nan, nan, nan
			}
			if failed {
				c = window.Case{ID: c.ID, At: c.At, Exact: nan, Strays: nan, DiameterMM: nan, P10: nan, P90: nan, FullH: nan,
					ProgrammeH: nan}
			}
			cases = append(cases, c)
			at[0], at[1] = append(at[0], r), append(at[1], s)
		}
	}
	return window.Study{Axes: []window.Axis{window.Numbers("cooling_rate_K_per_h", "K/h", at[0]),
		window.Numbers("start_undercooling_K", "K", at[1])}, Cases: cases}
}

func found(t *testing.T, s window.Study) *analysis.Findings {
	t.Helper()
	w, err := window.Find(s, window.Options{})
	if err != nil {
		t.Fatal(err)
	}
	f := &analysis.Findings{Title: "Made", Design: "grid", JoinDeg: 5, Axes: s.Axes, Cases: len(s.Cases), Window: w}
	for i, c := range s.Cases {
		f.Runs.Total += c.Runs
		one := analysis.CaseRuns{ID: c.ID}
		for k, a := range s.Axes {
			one.Settings = append(one.Settings, window.Setting{Axis: a.Name, Value: a.Text(c.At[k])})
		}
		f.PerCase = append(f.PerCase, one)
		if i == 0 && !math.IsNaN(c.Exact) {
			f.Best = &analysis.Best{ID: c.ID, Settings: one.Settings, DiameterMM: tally.Real(c.DiameterMM),
				Chance: tally.Real(c.Exact), ProgrammeH: tally.Real(c.ProgrammeH), Reaches: true, Replicate: 1}
		}
	}
	return f
}

// joined adds what seeds placed with scatter show.
func joined(t *testing.T, f *analysis.Findings) {
	t.Helper()
	b, err := joints.New(magnet.Published())
	if err != nil {
		t.Fatal(err)
	}
	for k := range 60 {
		run := b.Run(k%f.Cases, true)
		b.Grain(run, true, 50, 1)
		b.Grain(run, true, 50, 1+k%2)
		b.Grain(run, false, 1, 0)
		b.Boundary(run, joints.Contact{Grain1: 1, Grain2: 2, AreaMM2: 10, AngleDeg: 3 + 4*float64(k%2), CAxisDeg: 1,
			LowAngle: k%2 == 0})
		b.Boundary(run, joints.Contact{Grain1: 2, Grain2: 3, AreaMM2: 1, AngleDeg: 40, CAxisDeg: 30})
	}
	b.Watch(0)
	f.Scatter, f.Boundaries = b.Scatter(), b.Boundaries()
	f.Boundaries.Watched = []joints.Contact{{Grain1: 1, Grain2: 2, AreaMM2: 10, AngleDeg: 3, LowAngle: true,
		Kind: "seed-seed", Passing: 1}}
}

func scenes(t *testing.T) map[string]Sources {
	nothing := found(t, window.Study{})
	single := found(t, grid([]float64{0.5}, []float64{8}, 20, false))
	rich := found(t, grid([]float64{0.2, 0.5, 1}, []float64{4, 8, 12}, 40, false))
	joined(t, rich)
	ranked, err := influence.Of(influence.Table{Inputs: []influence.Column{{Name: "a", Values: []float64{1, 2, 3, 4, 5}},
		{Name: "b", Values: []float64{5, 3, 1, 2, 4}}}, Results: []influence.Column{{Name: "time",
		Values: []float64{2, 4, 6, 8, 11}}}})
	if err != nil {
		t.Fatal(err)
	}
	rich.Influence = ranked
	long := make([]float64, 30)
	for i := range long {
		long[i] = 0.1 * float64(i+1)
	}
	many := found(t, grid(long, long, 10, false))
	many.PerCase = nil
	odds := found(t, grid([]float64{0.2, 1}, []float64{4, 12}, 0, false))
	figure := Figure{Caption: "A picture", Alt: "what is seen <on> it", Image: []byte{1, 2, 3}, Kind: "image/png",
		Width: 10, Height: 10, Files: []string{"report-figures/a.png"}}
	return map[string]Sources{
		"nothing": {Findings: nothing}, "single": {Findings: single, NoCase: "the study cannot be used"},
		"odds": {Findings: odds}, "many": {Findings: many},
		"failed": {Findings: found(t, grid([]float64{0.2, 1}, []float64{4, 12}, 0, true)), Failed: 2,
			Failures: []table.Failure{{CaseID: "x", Values: map[string]any{"rate": 1}, Error: "out of <luck>",
				Command: "onegrain draw"}}},
		"rich": {Findings: rich, Folder: "results/made", Study: "title = \"<Made>\"", Program: "1", Model: "other",
			Command: "onegrain report",
			Sessions: []table.Provenance{{Version: "1", ModelVersion: "2", GoVersion: "go", Platform: "linux",
				Command:     "onegrain run",
				StudySHA256: strings.Repeat("ab", 32), Start: time.Unix(0, 0)}},
			Figures: map[string][]Figure{"window": {figure}, "pictures": {figure,
				{Caption: "moves", Alt: "growth", Kind: "image/gif", Image: []byte{1}, Moves: true}}, "field": {figure}},
			Shown: &Shown{Name: "case 1 of 9", Best: true, Replicate: 1,
				Stages: []border.StageRow{{TemperatureC: 25, UndercoolingK: 985},
					{Stage: 1, TimeH: 10, TemperatureC: 1045, UndercoolingK: -35},
					{Stage: 2, TimeH: 80, TemperatureC: 980, UndercoolingK: 30, GrownAMM: 20, GrownCMM: 18}},
				Margins: []string{"seed.1: 15 K."},
				Run:     [][2]string{{"Single grain", "yes"}}, Magnet: [][2]string{{"Trapped field", "0.3 T"}},
				Assumed: []string{"upper bound"}}},
		"too large": {Findings: single, Shown: &Shown{Name: "case 1 of 1", Why: "too large"}},
	}
}

func written(t *testing.T, s Sources) string {
	t.Helper()
	var b bytes.Buffer
	if err := s.HTML(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// wrong is what is wrong with a page: tags that do not close, ids twice, links to nowhere, cells
// that a row lacks, numbers that are none.
func wrong(page string) (all []string) {
	d := xml.NewDecoder(strings.NewReader(strings.TrimPrefix(page, "<!DOCTYPE html>")))
	d.Strict, d.Entity = false, xml.HTMLEntity
	ids, links, open := map[string]bool{}, []string{}, 0
	columns, cells := 0, 0
	for {
		token, err := d.RawToken()
		if err == io.EOF {
			break
		}
		if err != nil {
			return append(all, err.Error())
		}
		switch x := token.(type) {
		case xml.StartElement:
			if x.Name.Local != "meta" && x.Name.Local != "img" {
				open++
			}
			for _, a := range x.Attr {
				if a.Name.Local == "id" && ids[a.Value] {
					all = append(all, "id twice: "+a.Value)
				}
				if a.Name.Local == "id" {
					ids[a.Value] = true
				}
				if a.Name.Local == "href" && strings.HasPrefix(a.Value, "#") {
					links = append(links, a.Value[1:])
				}
			}
			switch x.Name.Local {
			case "thead":
				columns = 0
			case "th":
				columns++
			case "tr":
				cells = 0
			case "td":
				cells++
			}
		case xml.EndElement:
			open--
			if x.Name.Local == "tr" && cells > 0 && cells != columns {
				all = append(all, fmt.Sprintf("a row of %d cells under %d heads", cells, columns))
			}
		case xml.CharData:
			for _, bad := range []string{"NaN", "%!", "<nil>", "Inf"} {
				if strings.Contains(string(x), bad) {
					all = append(all, "the page says "+strings.TrimSpace(string(x)))
				}
			}
		}
	}
	for _, l := range links {
		if !ids[l] {
			all = append(all, "link to nowhere: "+l)
		}
	}
	if open != 0 {
		all = append(all, "tags that do not close")
	}
	return all
}

// Whatever a study has found, its page must be whole.
func TestPagesAreWhole(t *testing.T) {
	for name, s := range scenes(t) {
		page := written(t, s)
		for _, w := range wrong(page) {
			t.Errorf("%s: %s", name, w)
		}
		for _, want := range []string{"The answer", "What the model leaves out", "Hazards",
			"Local codes and licensed practice decide"} {
			if !strings.Contains(page, want) {
				t.Errorf("%s: no %q", name, want)
			}
		}
	}
	page := written(t, scenes(t)["rich"])
	for _, spoilt := range [][2]string{{"</section>", ""}, {`href="#answer"`, `href="#nowhere"`},
		{"<td", "<td>x</td><td"}, {"Hazards</h2>", "NaN</h2>"}, {`id="s-answer"`, `id="answer"`}} {
		if len(wrong(strings.Replace(page, spoilt[0], spoilt[1], 1))) == 0 {
			t.Errorf("%q in place of %q goes unseen", spoilt[1], spoilt[0])
		}
	}
}

// What each study must say.
func TestPagesSayWhatIs(t *testing.T) {
	all := scenes(t)
	kept, err := evidence.Kept()
	if err != nil || kept.Agree == 0 {
		t.Fatalf("%d findings agree, %v", kept.Agree, err)
	}
	for name, wants := range map[string][]string{
		"nothing": {"No case was computed", "No run was counted"},
		"single":  {"one case makes no window", "is not shown: the study cannot be used", "<dd>72.6 % by the exact odds"},
		"odds":    {"4 cases, by their exact odds alone", "not counted", "No runs were counted to check them"},
		"many":    {"200 of 900 cases, evenly, the best one first", "The table of cases"},
		"failed":  {"None of the 4 cases has a result", "out of &lt;luck&gt;", "2 failures noted", "no result"},
		"rich": {"In the best case: in ", "Over all cases together", "data:image/png;base64,AQID",
			"what is seen &lt;on&gt; it", fmt.Sprintf("%d agree", kept.Agree), "another version of the model",
			"title = &#34;&lt;Made&gt;&#34;", "e times less for each further 5.3°", `<tr class="best">`, "not ended",
			"<td class=\"n\">–</td><td class=\"n\">0.0</td>"},
		"too large": {"There are no pictures: too large"},
	} {
		page := written(t, all[name])
		for _, want := range wants {
			if !strings.Contains(page, want) {
				t.Errorf("%s: no %q", name, want)
			}
		}
	}
}

// TestRowsHaveTheirColumns: a row of each table, cell by cell, and one row that stands out.
func TestRowsHaveTheirColumns(t *testing.T) {
	all := scenes(t)
	page := written(t, all["rich"])
	cells := func(row string) string {
		row = strings.ReplaceAll(strings.ReplaceAll(row, `<td class="n">`, "<td>"), "</td><td>", "|")
		return strings.NewReplacer("<tr><td>", "\n|", `<tr class="best"><td>`, "\n*", "</td></tr>", "|\n").Replace(row)
	}
	for _, want := range []string{
		"*0.2|4|98.7 %|0.0128|39 of 40|86.8 to more than 99.9 %|19.8|15.0 to 21.0|100.0|300.0|yes|",
		"|0.2|4|7|4 of 7|18.4 to 90.2 %|3.0|7.0|99 %|50 %|100 %|", "|seeded grains|60|600|50 %|74 %|",
		"|1 and 2|seeded grains|10.0|3.0|0.0|yes|100 %|", "|2|80.0|980.0|30.0|20.0|18.0|",
		"|1|half width along a at the end of the programme (mm)|2D from above, power laws, ramp 0.5 K/h|309.16|309.16|" +
			"3.09e-07|agrees|closed form|",
	} {
		if !strings.Contains(cells(page), "\n"+want) {
			t.Errorf("no row %s", want)
		}
	}
	if !strings.Contains(page, "counted 39 of 40 runs (95 % interval 86.8 to more than 99.9 %)") {
		t.Error("the counted odds of the best case are not told")
	}
	many := written(t, all["many"])
	if at := strings.Index(many, `<tr class="best">`); strings.Count(many, `<tr class="best">`) != 1 ||
		strings.Contains(many[strings.Index(many, "<tbody>")+8:at], "<tr") {
		t.Error("the best case of many is not the one row that stands out, the first")
	}
}

// What the answer says of a case that is a mean, of one run, and of one that is never a single
// grain.
func TestAnswersOfOneCase(t *testing.T) {
	half := tally.Interval{Low: 0.4, High: 0.6}
	for _, c := range []struct {
		best     window.Point
		averaged []string
		want     []string
	}{
		{window.Point{Verdict: "open", Source: "exact mean", Exact: 0.5, Interval: half, Over: 3, Reach: 2, DiameterMM: 10,
			P10: 8, P90: 12,
			FullH: 20, ProgrammeH: 21, Strays: 0.5}, []string{"purity"}, []string{
			"The best setting by the means over what is not known has cooling rate 0.2 K/h, start undercooling 4 K. The " +
				"rule: first",
			"<dt>Over what is not known</dt><dd>every number is a mean over 3 points of purity; 2 of them reach 95 %</dd>",
			"<dd>50 % by the exact odds, mean over what is not known (95 % interval 40 to 60 %)</dd>", "<dd>0.5 a run</dd>",
			"<dd>10.0 mm across (median); eight runs of ten: 8.0 to 12.0 mm</dd>", "<dd>20.0 h from the start, heating " +
				"included</dd>",
			"<dd>21.0 h</dd>", "(purity) reach the wanted chance", `<td class="n">50 % ± 2.0 %</td><td class="n">0.5</td>`,
			`<td class="n">2 of 3</td></tr>`, `>Points</th></tr>`}},
		{window.Point{Verdict: "open", Source: "exact mean", Exact: 0.5, Interval: half, Placings: 5, Runs: 1, Hits: 1,
			Counted:    half,
			DiameterMM: 10, FullH: 20, ProgrammeH: 60}, nil, []string{"The best case has cooling rate 0.2 K/h",
			"mean over 5 placings of the seeds (95 % interval 40 to 60 %); counted 1 of 1 run (95 % interval 40 to 60 %)",
			"10.0 mm across, in the one run", "60.0 h; the body is solid before the last 40 h, which may be cut short, with " +
				"a reserve"}},
		{window.Point{Verdict: "never", Because: "x", DiameterMM: tally.Unknown(), FullH: tally.Unknown(),
			ProgrammeH: tally.Unknown(), Strays: tally.Unknown()}, nil, []string{"<dd>0 %, strays or not: ",
			"not known: only the odds were computed"}},
	} {
		f := found(t, grid([]float64{0.2, 1}, []float64{4, 12}, 10, false))
		first := &f.Window.Slices[0].Points[0]
		c.best.At, c.best.ID, c.best.Error = first.At, f.Best.ID, 0.02
		*first, f.Window.Best, f.Window.Averaged = c.best, &c.best, c.averaged
		page := written(t, Sources{Findings: f})
		for _, w := range wrong(page) {
			t.Error(w)
		}
		for _, want := range c.want {
			if !strings.Contains(page, want) {
				t.Errorf("no %q in %s", want, page[strings.Index(page, `id="answer"`):strings.Index(page, `id="limits"`)])
			}
		}
	}
}

func TestNumbers(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{chance(0.0), "0 %"}, {chance(1.0), "100 %"}, {chance(0.99999), "more than 99.99 %"},
		{chance(1e-9), "less than 0.1 %"},
		{chance(0.98149), "98.1 %"}, {chance(0.99951), "99.95 %"}, {chance(math.NaN()), unknown},
		{rough(0.9999), "more than 99.9 %"}, {brief(chance(1e-9)), "<0.1 %"}, {fixed(-1.25, 1), "−1.2"},
		{fixed(math.Inf(1), 1), unknown}, {span(1, 1.01, 1), "1.0"}, {span(1.0, 2.0, 0), "1 to 2"},
		{shares(tally.Interval{Low: 0.5, High: 0.99999}), "50 to more than 99.9 %"},
		{shares(tally.Interval{Low: 0.9123, High: 1}), "91.2 to 100 %"}, {strays(1e-9), "<0.001"}, {strays(0.0), "0"},
		{strays(5e4), ">1000"},
		{powers("1.275e+07 K³"), "1.275·10⁷ K³"}, {powers("parallel e+b"), "parallel e+b"},
		{minus("from -0.5"), "from −0.5"}, {scale.Plural(1, "run"), "1 run"}, {hundredths(tally.Unknown()), unknown},
		{sentence("it is"), "It is."},
		{moment(time.Time{}), "not ended"},
	} {
		if c.got != c.want {
			t.Errorf("%q: wanted %q", c.got, c.want)
		}
	}
}
