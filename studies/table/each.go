package table

import (
	"fmt"
	"slices"

	"onegrain/studies/column"
)

// Each hands the rows of a table to visit, file by file, for tables that are too large to be read at once. Of the columns only those
// named are read; a file that does not have one leaves it out. Every file is proved as in Table. What several files tell is handed
// over as often: the caller knows runs by case_id and replicate, and keeps what an earlier file has told. The error is that of visit, or of
// the reading; it is fs.ErrNotExist where `merge` took files away meanwhile, and then the reading is to be begun anew.
func (f *Folder) Each(name string, columns []string, visit func(file string, rows *Frame) error) error {
	if _, err := column.Of(name, nil); err != nil {
		return err
	}
	files, err := f.files(name)
	if err != nil {
		return err
	}
	listed, err := f.listed()
	if err != nil {
		return err
	}
	for _, file := range files {
		rows, _, err := f.file(file, &listed, columns...)
		if err != nil {
			return err
		}
		if err := visit(file, rows); err != nil {
			return err
		}
	}
	return nil
}

// chosenColumns is the schema of the named columns, all where none is named, and their places in the whole.
func chosenColumns(s column.Schema, names []string) (some column.Schema, places []int) {
	some.Table = s.Table
	for i, c := range s.Columns {
		if len(names) == 0 || slices.Contains(names, c.Name) {
			some.Columns, places = append(some.Columns, c), append(places, i)
		}
	}
	return some, places
}

// Texts is a column of text, one value per row, "" where it is empty. The error names a column that does not exist or is no text.
func (f *Frame) Texts(name string) ([]string, error) {
	i := f.Schema.Index(name)
	if i < 0 || f.Schema.Columns[i].Kind != column.Text {
		return nil, fmt.Errorf("table %s has no column of text %q", f.Schema.Table, name)
	}
	return f.data[i].texts, nil
}
