package gallery

import (
	"embed"
	"math"
	"strings"
	"text/template"

	"onegrain/analysis/chart/scale"
)

//go:embed words.txt
var texts embed.FS

// said are the lines of a part of words.txt.
func (g *Gallery) said(part string) (lines []string) {
	t := template.Must(template.New("").Funcs(template.FuncMap{"plural": scale.Plural, "capital": scale.Capital,
		"percent": func(part, whole float64) float64 { return 100 * part / whole },
		// solid never rounds up to a body that is whole
		"solid": func() float64 { return math.Floor(1000*g.Run.SolidFraction) / 10 },
	}).ParseFS(texts, "words.txt"))
	var filled strings.Builder
	if err := t.ExecuteTemplate(&filled, part, g); err != nil {
		panic(err) // words.txt is wrong
	}
	for line := range strings.Lines(filled.String()) {
		if line = strings.TrimSpace(line); line != "" {
			lines = append(lines, line)
		}
	}
	return lines
}

// pairs are lines of a name and a text.
func pairs(lines []string) (all [][2]string) {
	for _, line := range lines {
		name, text, _ := strings.Cut(line, " | ")
		all = append(all, [2]string{name, text})
	}
	return all
}

// Facts are what came of the run: names, each with a value in words.
func (g *Gallery) Facts() [][2]string { return pairs(g.said("run")) }

// MagnetFacts are what the run traps and carries; it must show a plane that currents run in.
func (g *Gallery) MagnetFacts() [][2]string { return pairs(g.said("magnet")) }

// Says is what `draw` says of the run, and of what it traps and carries as a magnet.
func (g *Gallery) Says() []string { return g.said("drawn") }

// Caption is what the report says of a kind of picture.
func Caption(kind string) string {
	for _, pair := range pairs((&Gallery{}).said("kinds")) {
		if pair[0] == kind {
			return pair[1]
		}
	}
	return ""
}
