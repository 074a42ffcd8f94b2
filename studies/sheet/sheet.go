package sheet

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"onegrain/studies/strict"
)

// Sheet is a table that was read, and everything that is wrong with it.
type Sheet struct {
	Rows []*Row

	file     string
	kind     Kind
	columns  []string // of the head line; empty where a column has no name
	comma    bool     // numbers may have decimal commas, since other marks stand between cells
	head     int      // line of the head line
	problems strict.Problems
}

const commaHint = "commas separate the cells here: write decimal points, or put semicolons between cells"

// Kind says what a table is to hold.
type Kind struct {
	Columns strict.Schema
	ARow    string // what a row is, as "furnace run"
	Help    string // where the columns are listed
	Others  bool   // whether columns of other names are left unread; else they are wrong
}

// Note adds to what is wrong; without a line or a column it is about the whole.
func (s *Sheet) Note(line int, column, value, wanted, hint string) {
	if value != "" {
		value = strconv.Quote(value)
	}
	s.problems = append(s.problems,
		strict.Problem{File: s.file, Line: line, Key: column, Value: value, Wanted: wanted, Hint: hint})
}

// Read reads the text of a CSV file; file is what errors call it. What is wrong with single rows is
// noted for Err.
func Read(file string, data []byte, kind Kind) (*Sheet, error) {
	s := &Sheet{file: file, kind: kind}
	text, wanted := plainText(data)
	if wanted != "" {
		s.Note(0, "", "", wanted, `save it as "CSV UTF-8"`)
		return nil, s.problems
	}
	mark := separator(text)
	s.comma = mark != ','
	r := csv.NewReader(strings.NewReader(text))
	r.Comma, r.Comment, r.FieldsPerRecord, r.TrimLeadingSpace = mark, '#', -1, mark != '\t'
	for {
		cells, err := r.Read()
		if err == io.EOF {
			break
		}
		if bad := (*csv.ParseError)(nil); errors.As(err, &bad) {
			s.Note(bad.StartLine, "", "", "a quotation mark is missing in the row that begins here", "")
			return nil, s.problems.Err()
		}
		for i := range cells {
			cells[i] = strings.TrimSpace(cells[i])
		}
		for len(cells) > 0 && cells[len(cells)-1] == "" {
			cells = cells[:len(cells)-1]
		}
		switch line, _ := r.FieldPos(0); {
		case len(cells) == 0 || strings.HasPrefix(cells[0], "#"): // empty, or a remark in quotes
		case s.head == 0:
			s.head = line
			s.names(line, cells)
		default:
			s.take(line, cells)
		}
	}
	switch {
	case s.head == 0:
		s.Note(0, "", "", "empty: wanted a head line with the names of columns, and one row for each "+kind.ARow, "")
	case !slices.ContainsFunc(s.problems, func(p strict.Problem) bool { return p.Line == s.head }):
		return s, nil // what is wrong with rows is told together with what their cells mean
	}
	return nil, s.problems.Err()
}

// plainText takes off marks and line ends, or says what the file is instead.
func plainText(data []byte) (text, wanted string) {
	switch {
	case bytes.HasPrefix(data, []byte("PK\x03\x04")):
		return "", "this is a workbook of a spreadsheet, not a CSV file"
	case bytes.HasPrefix(data, []byte("\xff\xfe")), bytes.HasPrefix(data, []byte("\xfe\xff")):
		return "", "this text is UTF-16, not UTF-8"
	case bytes.IndexByte(data, 0) >= 0:
		return "", "this is no text"
	}
	if text = strings.TrimPrefix(string(data), "\ufeff"); !utf8.ValidString(text) {
		letters := make([]rune, len(text)) // older spreadsheets write Latin 1, whose bytes are code points
		for i := range len(text) {
			letters[i] = rune(text[i])
		}
		text = string(letters)
	}
	if strings.HasPrefix(text, "sep=") { // a line for spreadsheets, no row
		text = "#" + text
	}
	return strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text), ""
}

// separator is the mark that stands between the names of the head line.
func separator(text string) rune {
	for line := range strings.Lines(text) {
		if line = strings.TrimSpace(line); line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		for _, mark := range ";\t" {
			if strings.ContainsRune(line, mark) && !strings.Contains(line, ",") {
				return mark
			}
		}
		break
	}
	return ','
}

// names reads the names of the columns.
func (s *Sheet) names(line int, names []string) {
	for i, name := range names {
		column := fmt.Sprintf("column %d", i+1)
		switch f, _ := s.kind.Columns.Field(name); {
		case name == "", f == nil && s.kind.Others:
		case f == nil:
			hint := s.kind.Help
			if near := s.kind.Columns.Nearest(name); near != "" {
				hint = "did you mean " + near + "?"
			}
			s.Note(line, column, name, "no such column", hint)
		case slices.Contains(names[:i], name):
			s.Note(line, column, name, "this column is there twice", "")
		}
	}
	s.columns = names
}

// take adds a row.
func (s *Sheet) take(line int, cells []string) {
	if len(cells) > len(s.columns) {
		hint := commaHint
		if s.comma {
			hint = ""
		}
		s.Note(line, "", "", fmt.Sprintf("%d cells, but the head line has %d", len(cells), len(s.columns)), hint)
		return
	}
	r := &Row{Sheet: s, Line: line, cells: map[string]string{}}
	for i, c := range cells {
		if s.columns[i] == "" && c != "" {
			s.Note(line, fmt.Sprintf("column %d", i+1), c, "this column has no name in the head line", "")
			continue
		}
		r.cells[s.columns[i]] = c
	}
	s.Rows = append(s.Rows, r)
}

// Some is the error of a sheet without rows; nil where there is one.
func (s *Sheet) Some() error {
	if len(s.Rows) > 0 || len(s.problems) > 0 {
		return nil
	}
	s.Note(s.head, "", "", "no rows: wanted one for each "+s.kind.ARow+" below the head line", "")
	return s.Err()
}

// File is what errors call it.
func (s *Sheet) File() string { return s.file }

// Has tells whether there is a column of that name.
func (s *Sheet) Has(column string) bool { return slices.Contains(s.columns, column) }

// Faults counts what was found wrong until now.
func (s *Sheet) Faults() int { return len(s.problems) }

// Err is everything that was found wrong until now, in the order of the lines; nil where nothing
// is.
func (s *Sheet) Err() error { return s.problems.Err() }
