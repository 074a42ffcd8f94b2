package report

import (
	"slices"
)

// Page is a report ready to be written.
type Page struct {
	Title    string
	Lead     string // below the title: what was asked
	Sections []Section
}

// Section has a heading and an entry in the contents.
type Section struct {
	ID, Title string
	Blocks    []Block
}

// Block is one piece of a section; one field is set.
type Block struct {
	Lead    string   // the sentence that matters
	Text    string   // a paragraph
	Heading string   // of a part of the section
	Caution []string // what limits the trust
	List    []string
	Facts   []Fact
	Table   *Table
	Figure  *Figure
	Code    string
	Fold    *Fold
}

// Fact is a short answer with its name.
type Fact struct{ Name, Value string }

// Table has one head row; columns of numbers stand to the right.
type Table struct {
	Caption string
	Head    []string
	Numbers []bool // for each column
	Rows    [][]string
	Marked  int  // row that stands out; −1 for none
	Long    bool // cells hold long words, such as commands and hashes, that may be broken
}

// tableOf is an empty table with a caption.
func tableOf(caption string) *Table { return &Table{Caption: caption, Marked: -1} }

// words adds columns of words.
func (t *Table) words(names ...string) *Table {
	t.Head, t.Numbers = append(t.Head, names...), append(t.Numbers, make([]bool, len(names))...)
	return t
}

// numbers adds columns of numbers.
func (t *Table) numbers(names ...string) *Table {
	t.Head, t.Numbers = append(t.Head, names...), append(t.Numbers, slices.Repeat([]bool{true}, len(names))...)
	return t
}

// row adds a row.
func (t *Table) row(cells ...string) { t.Rows = append(t.Rows, cells) }

// Fold is closed until the reader opens it; print shows it open, unless it is for the screen alone.
type Fold struct {
	Summary string
	Blocks  []Block
	Screen  bool
}

// Figure is a drawn figure.
type Figure struct {
	Caption string
	Alt     string // what is seen, for those who do not see it
	Image   []byte // PNG or GIF, carried by the page
	Kind    string // image/png or image/gif
	Width   int    // pixels
	Height  int
	Files   []string // beside the page: the same figure to be used elsewhere
	Moves   bool     // shown only when asked for
}

// Stage is a row of the furnace programme.
type Stage struct {
	Stage                                            int
	TimeH, TemperatureC, UndercoolingK, AlongA, Down float64 // mm that faces of a free grain have grown
}

// Shown is the case whose programme and pictures the page has.
type Shown struct {
	Name      string // as "case 3 of 40: cooling_rate_K_per_h = 0.4"
	Best      bool   // the findings' best; else there is none and this is an example
	Replicate int    // grown again; 0 where none was
	Why       string // why none was
	Stages    []Stage
	Margins   []string // how far seeds stay from dissolving
	Run       []Fact   // what came of it
	Magnet    []Fact   // trapped field and current
	Assumed   []string // by these
	GrowthH   float64  // hour at which growth begins
}
