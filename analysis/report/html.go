package report

import (
	"cmp"
	"embed"
	"encoding/base64"
	"html/template"
	"io"
	"path"
	"regexp"
	"slices"
	"strings"

	"onegrain/analysis/chart/scale"
	"onegrain/analysis/evidence"
	"onegrain/analysis/tally"
	"onegrain/analysis/window"
	"onegrain/studies/table"
)

//go:embed page.html words.html
var texts embed.FS

// wrapped is where a line of the templates goes on in the next one: all that does not end a tag.
const wrapped = `([^>\n])\n\s*`

// section of the page, with its entry in the contents.
type section struct {
	ID, Title string
	Body      template.HTML
}

// HTML writes the page as one file that needs nothing else; the error is that of w, or of what the
// program carries.
func (s *Sources) HTML(w io.Writer) error {
	t := template.New("page.html")
	// said is a part of the page by itself
	said := func(name string, of any) (template.HTML, error) {
		var b strings.Builder
		err := t.ExecuteTemplate(&b, name, of)
		return template.HTML(strings.TrimSpace(b.String())), err
	}
	t.Funcs(s.functions()).Funcs(template.FuncMap{"said": said})
	for _, name := range []string{"page.html", "words.html"} {
		text, _ := texts.ReadFile(name) // embedded
		template.Must(t.Parse(regexp.MustCompile(wrapped).ReplaceAllString(string(text), "$1 ")))
	}
	var sections []section
	for _, part := range [][2]string{{"answer", "The answer"}, {"window", "The window"},
		{"programme", "The furnace programme"}, {"pictures", "What the grains look like"},
		{"joints", "Domains and boundaries"}, {"field", "How good a magnet it makes"},
		{"influence", "Which input matters"}, {"failures", "Failures"}, {"provenance", "Where this comes from"},
		{"limits", "What the model leaves out"}, {"evidence", "How the program was checked"}, {"hazards", "Hazards"}} {
		body, err := said(part[0], s)
		if err != nil {
			return err
		}
		if body != "" {
			sections = append(sections, section{part[0], part[1], body})
		}
	}
	return t.Execute(w, map[string]any{"Of": s, "Sections": sections,
		"Title": cmp.Or(s.Findings.Title, "Study "+s.Folder)})
}

// functions of the templates: numbers in words, and what must be found out.
func (s *Sources) functions() template.FuncMap {
	w := s.Findings.Window
	return template.FuncMap{
		"brief": brief, "chance": chance[tally.Real], "fixed": fixed[tally.Real], "hundredths": hundredths,
		"lower": lower, "minus": minus, "moment": moment, "number": fixed[float64], "plural": scale.Plural,
		"powers": powers, "rough": rough[tally.Real], "sentence": sentence, "shares": shares,
		"span": span[tally.Real], "strays": strays[tally.Real], "titled": titled,
		"chosen": s.chosen, "hottest": s.hottest, "label": s.label, "listed": s.listed,
		"narrow": s.narrow, "placings": s.placings, "ratio": ratio, "settings": s.settings, "values": s.values,
		"cautions": cautions, "evidence": evidence.Kept, "join": strings.Join,
		"ended": func(text string) string { return strings.TrimSuffix(text, ".") + "." },
		"band":  func(l *tally.Laws) string { return shares(tally.Interval{Low: l.Low, High: l.High}) },
		"lawful": func() bool {
			return slices.ContainsFunc(s.points(), func(p window.Point) bool { return p.Laws != nil })
		},
		"least":    func(a, b int) int { return min(a, b) },
		"less":     func(a, b int) int { return a - b },
		"list":     func(texts ...string) []string { return texts },
		"part":     func(share float64) string { return hundredths(tally.Real(share)) },
		"percent":  func(share tally.Real) tally.Real { return 100 * share },
		"rule":     func() string { return window.Rule },
		"together": func(text string) string { return strings.ReplaceAll(text, " ", "\u00a0") },
		"total":    func() int { return len(s.points()) },
		"wanted":   func() string { return chance(w.Wanted) },
		// data carries a picture of ours in its address
		"data": func(f Figure) template.URL {
			return template.URL("data:" + f.Kind + ";base64," + base64.StdEncoding.EncodeToString(f.Image))
		},
		// ending of a file, as people call a kind of picture
		"ending": func(file string) string { return strings.ToUpper(strings.TrimPrefix(path.Ext(file), ".")) },
		// idle are the hours at the end of a programme that find nothing liquid, where they are many
		"idle": func(p *window.Point) tally.Real {
			if p.FullH < 0.9*p.ProgrammeH {
				return p.ProgrammeH - p.FullH
			}
			return 0
		},
		// latest are the last twelve commands, the last one first
		"latest": func(all []table.Provenance) []table.Provenance {
			all = slices.Clone(all[max(0, len(all)-12):])
			slices.Reverse(all)
			return all
		},
	}
}
