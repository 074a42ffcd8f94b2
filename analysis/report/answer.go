package report

import (
	"fmt"
	"slices"
	"strings"
	"text/template"

	"onegrain/analysis/chart/scale"
	"onegrain/analysis/tally"
	"onegrain/analysis/window"
)

// answer is the section that is read when no other is.
func (s *Sources) answer() []Block {
	w := s.Findings.Window
	out := s.say("answer")
	var each []string
	warnings := slices.Concat(s.Findings.Warnings, w.Warnings)
	for _, one := range w.Slices {
		each, warnings = append(each, one.Sentence), append(warnings, one.Warnings...)
	}
	if n := len(each); n > 1 {
		out = append(out, fold(fmt.Sprintf("The same for each of %d settings", n), Block{List: each}))
	}
	return slices.Concat(out, s.say("trust"), caution(warnings...))
}

// say fills in a part of words.txt and takes it apart. A block ends with an empty line or where the
// next one begins: "- " begins an entry of a list, "= " a fact (its name, |, its value), "! " a
// caution, "> " the sentence that matters, "# " a heading; all else is a paragraph.
func (s *Sources) say(part string) (blocks []Block) {
	var filled strings.Builder
	t := template.Must(template.New("").Funcs(s.functions()).ParseFS(texts, "words.txt"))
	if err := t.ExecuteTemplate(&filled, part, s); err != nil {
		panic(err) // words.txt is wrong
	}
	open := ""
	for line := range strings.SplitSeq(filled.String()+"\n", "\n") {
		begins := len(line) > 1 && line[1] == ' ' && strings.Contains("-=!>#", line[:1])
		if line != "" && !begins {
			open += " " + strings.TrimSpace(line)
			continue
		}
		blocks, open = added(blocks, strings.TrimSpace(open)), line
	}
	return blocks
}

// added adds a piece of text to the last block, where that is of its kind, or as one of its own.
func added(blocks []Block, piece string) []Block {
	if piece == "" {
		return blocks
	}
	var last Block
	if n := len(blocks); n > 0 {
		last = blocks[n-1]
	}
	b, sign, text := Block{}, piece[:1], strings.TrimSpace(piece[1:])
	switch sign {
	case "-":
		b.List = append(last.List, text)
	case "=":
		name, value, _ := strings.Cut(text, " |")
		b.Facts = append(last.Facts, Fact{name, strings.TrimSpace(value)})
	case "!":
		b.Caution = append(last.Caution, text)
	case ">":
		b.Lead = text
	case "#":
		b.Heading = text
	default:
		b.Text = piece
	}
	if len(b.List) > 1 || len(b.Facts) > 1 || len(b.Caution) > 1 {
		blocks = blocks[:len(blocks)-1]
	}
	return append(blocks, b)
}

// functions of words.txt: numbers in words, and what must be found out.
func (s *Sources) functions() template.FuncMap {
	w := s.Findings.Window
	return template.FuncMap{"plural": scale.Plural, "powers": powers, "label": s.label, "settings": s.settings,
		"titled": titled, "chance": chance[tally.Real], "rough": rough[tally.Real], "fixed": fixed[tally.Real],
		"span": span[tally.Real], "strays": strays[tally.Real], "shares": shares,
		"wanted":   func() string { return chance(w.Wanted) },
		"averaged": func() string { return strings.Join(w.Averaged, ", ") },
		"rule":     func() string { return window.Rule },
		// safe tells whether there is a range that is sure to reach the wanted chance
		"safe": func() bool {
			return slices.ContainsFunc(w.Slices, func(sl window.Slice) bool { return len(sl.Safe) > 0 })
		},
		// strayless tells whether no case can have a stray
		"strayless": func() bool {
			points := s.points()
			return len(points) > 0 && !slices.ContainsFunc(points, func(p window.Point) bool { return p.Strays != 0 })
		},
		"narrow": s.narrow,
		// idle are the hours at the end of a programme that find nothing liquid, where they are many
		"idle": func(p *window.Point) tally.Real {
			if p.FullH < 0.9*p.ProgrammeH {
				return p.ProgrammeH - p.FullH
			}
			return 0
		}}
}

// narrow tells whether the best case lies outside of every range that the sentence of its slice may
// name, while there is one.
func (s *Sources) narrow() bool {
	ranges, w := false, s.Findings.Window
	for _, sl := range w.Slices {
		i := slices.IndexFunc(sl.Points, func(q window.Point) bool { return q.ID == w.Best.ID })
		for _, b := range sl.Safe {
			ranges = true
			if i >= 0 && b.Holds(sl.Points[i]) {
				return false
			}
		}
	}
	return ranges
}
