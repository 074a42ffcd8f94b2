package report

import (
	"fmt"
	"slices"
	"strings"
	"text/template"

	"onegrain/analysis/chart/scale"
	"onegrain/analysis/joints"
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
// caution, "> " the sentence that matters, "# " a heading, "~" a table with its caption, "| " its
// head, where " #" follows the columns of numbers, and then its rows, "* " the one that stands out;
// all else is a paragraph.
func (s *Sources) say(part string) (blocks []Block) {
	var filled strings.Builder
	t := template.Must(template.New("").Funcs(s.functions()).ParseFS(texts, "words.txt"))
	if err := t.ExecuteTemplate(&filled, part, s); err != nil {
		panic(err) // words.txt is wrong
	}
	open := ""
	for line := range strings.SplitSeq(filled.String()+"\n", "\n") {
		line = strings.TrimRight(line, " ")
		begins := line == "~" || len(line) > 1 && line[1] == ' ' && strings.Contains("-=!>#~|*", line[:1])
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
	b := Block{}
	switch sign, text, _ := strings.Cut(piece, " "); sign {
	case "-":
		b.List = append(last.List, text)
	case "=":
		name, value, _ := strings.Cut(text, " |")
		b.Facts = append(last.Facts, Fact{name, strings.TrimSpace(value)})
	case "!":
		b.Caution = append(last.Caution, text)
	case "~":
		b.Table = tableOf(text)
	case "|", "*":
		if last.Table.line(strings.Split(text, " | ")); sign == "*" && last.Table.Marked < 0 {
			last.Table.Marked = len(last.Table.Rows) - 1
		}
		return blocks
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

// line adds the head to a table without one, else a row.
func (t *Table) line(cells []string) {
	head := t.Head == nil
	for i, c := range cells {
		cells[i] = strings.TrimSpace(c)
		if name, number := strings.CutSuffix(cells[i], " #"); head && number {
			t.numbers(name)
		} else if head {
			t.words(name)
		}
	}
	if !head {
		t.row(cells...)
	}
}

// functions of words.txt: numbers in words, and what must be found out.
func (s *Sources) functions() template.FuncMap {
	w, watched := s.Findings.Window, s.Findings.Boundaries.Watched
	return template.FuncMap{"plural": scale.Plural, "powers": powers, "label": s.label, "settings": s.settings,
		"titled": titled, "chance": chance[tally.Real], "rough": rough[tally.Real], "fixed": fixed[tally.Real],
		"span": span[tally.Real], "strays": strays[tally.Real], "shares": shares,
		"brief": brief, "best": func(id string) bool { return s.Findings.Best != nil && s.Findings.Best.ID == id },
		"listed": s.listed, "total": func() int { return len(s.points()) },
		"together": func(text string) string { return strings.ReplaceAll(text, " ", "\u00a0") },
		"percent":  func(share tally.Real) tally.Real { return 100 * share },
		"placings": s.placings, "values": s.values,
		"touching": func(p joints.Placing) int { return p.Runs - p.Untouching },
		"number":   fixed[float64], "hundredths": hundredths, "hottest": s.hottest,
		"part":     func(share float64) string { return hundredths(tally.Real(share)) },
		"ended":    func(text string) string { return strings.TrimSuffix(text, ".") + "." },
		"watched":  func() []joints.Contact { return watched[:min(mostContacts, len(watched))] },
		"unlisted": func() int { return max(0, len(watched)-mostContacts) },
		// low is the share of the area of a kind of boundary that is low-angle
		"low": func(k joints.Kind) tally.Real {
			if k.AreaMM2 > 0 {
				return tally.Real(k.LowAreaMM2 / k.AreaMM2)
			}
			return tally.Unknown()
		},
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
