package main

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"onegrain/studies/strict"
)

// sheet is a table of furnace runs as people keep it, and everything that is wrong with it.
type sheet struct {
	file      string
	columns   []string // of the head line; empty where a column has no name
	headLine  int
	headWrong bool
	rows      []sheetRow
	comma     bool // numbers may have decimal commas, since other marks stand between cells
	problems  strict.Problems
}

// sheetRow is a line of a sheet: its cells by column.
type sheetRow struct {
	line  int
	cells map[string]string
}

func (s *sheet) bad(line int, column, value, wanted, hint string) {
	if value != "" {
		value = strconv.Quote(value)
	}
	s.problems = append(s.problems, strict.Problem{File: s.file, Line: line, Key: column, Value: value, Wanted: wanted, Hint: hint})
}

// readSheet reads a CSV file whose columns bear the names told. Spreadsheets write them in many ways: with a byte order mark, with CRLF, with semicolons
// or tabs between cells and then mostly with decimal commas, with empty lines and cells at the end. All these are taken.
func readSheet(path string, known strict.Schema) (*sheet, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, usage(noSheet(path, err))
	}
	s := &sheet{file: path}
	text, wanted := plainText(data)
	if wanted != "" {
		s.bad(0, "", "", wanted, saveAsCSV)
		return nil, s.problems
	}
	mark := s.separator(text)
	r := csv.NewReader(strings.NewReader(text))
	r.Comma, r.Comment, r.FieldsPerRecord, r.TrimLeadingSpace = mark, '#', -1, mark != '\t'
	for {
		cells, err := r.Read()
		if err == io.EOF {
			break
		}
		var pe *csv.ParseError
		if errors.As(err, &pe) {
			s.bad(pe.StartLine, "", "", quotesWrong, "")
			return nil, s.problems.Err()
		}
		if err != nil {
			return nil, err
		}
		line, _ := r.FieldPos(0)
		s.take(line, cells, known)
	}
	switch {
	case s.columns == nil:
		s.bad(0, "", "", emptySheet, "")
	case len(s.rows) == 0 && len(s.problems) == 0:
		s.bad(s.headLine, "", "", noRowsSheet, "")
	case !s.headWrong: // what is wrong with rows is told together with what their cells mean
		return s, nil
	}
	return s, s.problems.Err()
}

// noSheet says what to do about a file that cannot be read.
func noSheet(path string, err error) error {
	if errors.Is(err, os.ErrNotExist) {
		return fmt.Errorf(noSheetThere, path)
	}
	return fmt.Errorf(sheetUnreadable, path, errors.Unwrap(err))
}

// plainText takes off marks and line ends, or says what the file is instead.
func plainText(data []byte) (text, wanted string) {
	switch {
	case bytes.HasPrefix(data, []byte("PK\x03\x04")):
		return "", isWorkbook
	case bytes.HasPrefix(data, []byte("\xff\xfe")), bytes.HasPrefix(data, []byte("\xfe\xff")):
		return "", isUTF16
	case bytes.IndexByte(data, 0) >= 0:
		return "", isBinary
	}
	if text = strings.TrimPrefix(string(data), "\ufeff"); !utf8.ValidString(text) { // older spreadsheets write Latin 1, whose bytes are code points
		letters := make([]rune, len(text))
		for i, b := range []byte(text) {
			letters[i] = rune(b)
		}
		text = string(letters)
	}
	if strings.HasPrefix(text, "sep=") { // a line for spreadsheets, no row
		text = "#" + text
	}
	return strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n"), ""
}

// separator is the mark that stands between the names of the head line.
func (s *sheet) separator(text string) rune {
	for line := range strings.Lines(text) {
		if line = strings.TrimSpace(line); line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		for _, mark := range ";\t" {
			if strings.ContainsRune(line, mark) && !strings.Contains(line, ",") {
				s.comma = true
				return mark
			}
		}
		break
	}
	return ','
}

// take adds a line: the first is the head, empty ones and remarks in quotes are nothing.
func (s *sheet) take(line int, cells []string, known strict.Schema) {
	last := 0
	for i := range cells {
		if cells[i] = strings.TrimSpace(cells[i]); cells[i] != "" {
			last = i + 1
		}
	}
	if last == 0 || strings.HasPrefix(cells[0], "#") {
		return
	}
	if s.columns == nil {
		s.head(line, cells[:last], known)
		return
	}
	if last > len(s.columns) {
		hint := ""
		if !s.comma {
			hint = commaHint
		}
		s.bad(line, "", "", fmt.Sprintf(tooManyCells, last, len(s.columns)), hint)
		return
	}
	row := sheetRow{line, map[string]string{}}
	for i, c := range cells[:last] {
		if s.columns[i] == "" && c != "" {
			s.bad(line, fmt.Sprintf("column %d", i+1), c, noName, "")
			continue
		}
		row.cells[s.columns[i]] = c
	}
	s.rows = append(s.rows, row)
}

// head reads the names of the columns.
func (s *sheet) head(line int, names []string, known strict.Schema) {
	s.columns, s.headLine = []string{}, line
	for i, name := range names {
		switch f, _ := known.Field(name); {
		case name == "":
		case f == nil:
			hint := columnsHint
			if near := known.Nearest(name); near != "" {
				hint = "did you mean " + near + "?"
			}
			s.bad(line, fmt.Sprintf("column %d", i+1), name, unknownColumn, hint)
		case slices.Contains(s.columns, name):
			s.bad(line, fmt.Sprintf("column %d", i+1), name, twiceColumn, "")
		}
		s.columns = append(s.columns, name)
	}
	s.headWrong = len(s.problems) > 0
}

func (s *sheet) has(column string) bool { return slices.Contains(s.columns, column) }

// number reads a cell; given is false where it is empty or wrong, which is then told.
func (s *sheet) number(r sheetRow, f *strict.Field) (x float64, given bool) {
	text := r.cells[f.Key]
	if text == "" {
		return 0, false
	}
	plain := text
	if s.comma && !strings.Contains(text, ".") {
		plain = strings.Replace(text, ",", ".", 1)
	}
	x, err := strconv.ParseFloat(plain, 64)
	if err != nil || strings.Trim(plain, "0123456789.+-eE") != "" || math.IsInf(x, 0) {
		hint := ""
		switch {
		case strings.Contains(text, ",") && !s.comma:
			hint = commaHint
		case strings.ContainsAny(text, "0123456789") && strings.ContainsAny(text, " °KCmh"):
			hint = unitHint
		}
		s.bad(r.line, f.Key, text, f.Wanted(), hint)
		return 0, false
	}
	v, wanted, hint := f.Take(f.Key, x)
	if wanted != "" {
		if f.Unit == "K" {
			hint = celsiusHint
		}
		s.bad(r.line, f.Key, text, wanted, hint)
		return 0, false
	}
	x, _ = v.(float64)
	return x, true
}

// choice reads a cell that takes one of some words.
func (s *sheet) choice(r sheetRow, f *strict.Field) string {
	text := strings.ToLower(r.cells[f.Key])
	if text == "" || slices.Contains(f.Choices, text) {
		return text
	}
	_, wanted, hint := f.Take(f.Key, text)
	s.bad(r.line, f.Key, r.cells[f.Key], wanted, hint)
	return ""
}
