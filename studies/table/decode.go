package table

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"

	"github.com/parquet-go/parquet-go"

	"onegrain/studies/column"
)

// Corrupt is the error of a file that is not what was once written.
type Corrupt struct {
	File string `json:"file"` // as the caller named it
	Why  string `json:"why"`
	Next string `json:"next"` // what to do; if empty: move the file away and run the study again, which runs anew what is lost
}

const again = "move the file away and run the same command again, which runs anew what is lost"

// Error names the file, what is wrong with it and what to do.
func (c *Corrupt) Error() string {
	return fmt.Sprintf("%s: damaged: %s; %s", c.File, c.Why, cmp.Or(c.Next, again))
}

// decode reads the bytes of a Parquet file, of its columns only those named where any are. The library panics on some damaged files: that too comes back as Corrupt.
func decode(file string, data []byte, only ...string) (f *Frame, err error) {
	defer func() {
		if p := recover(); p != nil {
			f, err = nil, &Corrupt{File: file, Why: fmt.Sprint(p)}
		}
	}()
	f, err = read(data, only)
	if err != nil {
		return nil, &Corrupt{File: file, Why: err.Error()}
	}
	return f, nil
}

func read(data []byte, only []string) (*Frame, error) {
	if err := framed(data); err != nil {
		return nil, err
	}
	pf, err := parquet.OpenFile(bytes.NewReader(data), int64(len(data)), parquet.SkipPageIndex(true), parquet.SkipBloomFilters(true))
	if err != nil {
		return nil, err
	}
	s, err := described1(pf)
	if err != nil {
		return nil, err
	}
	s, places := chosenColumns(s, only)
	if err := pages(data, pf, places); err != nil {
		return nil, err
	}
	f := NewFrame(s)
	f.meta = keyValues(pf)
	for _, g := range pf.RowGroups() {
		if err := f.group(g, places); err != nil {
			return nil, err
		}
	}
	if int64(f.rows) != pf.NumRows() {
		return nil, fmt.Errorf("%d rows read, %d promised", f.rows, pf.NumRows())
	}
	return f, nil
}

// keyValues are those of a file that tell where it comes from.
func keyValues(pf *parquet.File) map[string]string {
	meta := map[string]string{}
	for _, kv := range pf.Metadata().KeyValueMetadata {
		if kv.Key != keyColumns && kv.Key != keyTable {
			meta[kv.Key] = kv.Value
		}
	}
	return meta
}

// described1 is the schema of a file: kinds from the file itself, units and meanings from its key-values.
func described1(pf *parquet.File) (column.Schema, error) {
	s := column.Schema{}
	s.Table, _ = pf.Lookup(keyTable)
	text, ok := pf.Lookup(keyColumns)
	if !ok {
		return s, errors.New("the file does not describe its columns: it was not written by this program")
	}
	var told []described
	if err := json.Unmarshal([]byte(text), &told); err != nil {
		return s, fmt.Errorf("description of the columns: %w", err)
	}
	fields := pf.Schema().Fields()
	if len(fields) == 0 {
		return s, errors.New("the file has no columns")
	}
	if len(fields) != len(told) {
		return s, fmt.Errorf("%d columns, but %d described", len(fields), len(told))
	}
	for i, n := range fields {
		k, ok := kindOf(n)
		if !ok || n.Name() != told[i].Name || k.String() != told[i].Kind {
			return s, fmt.Errorf("column %d is %s %s, described as %s %s", i+1, n.Name(), n, told[i].Name, told[i].Kind)
		}
		s.Columns = append(s.Columns, column.Column{Name: n.Name(), Kind: k, Null: n.Optional(), Unit: told[i].Unit, Means: told[i].Means})
	}
	return s, nil
}

func kindOf(n parquet.Node) (column.Kind, bool) {
	if !n.Leaf() || n.Repeated() {
		return 0, false
	}
	switch n.Type().Kind() {
	case parquet.Int64:
		return column.Int, true
	case parquet.Double:
		return column.Real, true
	case parquet.ByteArray:
		return column.Text, true
	case parquet.Boolean:
		return column.Flag, true
	}
	return 0, false
}

// group appends the rows of one row group, column by column: a quarter of the time that whole rows take, and far less in small files.
// places says where in the file each column of the frame stands.
func (f *Frame) group(g parquet.RowGroup, places []int) error {
	chunks := g.ColumnChunks()
	if len(places) > 0 && len(chunks) <= places[len(places)-1] {
		return fmt.Errorf("a row group of %d columns: wanted more", len(chunks))
	}
	batch := make([]parquet.Value, max(1, min(batchRows, g.NumRows())))
	for i, c := range f.Schema.Columns {
		n, err := f.column(i, chunks[places[i]], batch)
		if err != nil {
			return fmt.Errorf("column %s: %w", c.Name, err)
		}
		if n != g.NumRows() {
			return fmt.Errorf("column %s: %d values in a row group of %d rows", c.Name, n, g.NumRows())
		}
	}
	f.rows += int(g.NumRows())
	return nil
}

// column appends the values of a column in one row group and tells how many there were.
func (f *Frame) column(i int, chunk parquet.ColumnChunk, batch []parquet.Value) (n int64, err error) {
	pages := chunk.Pages()
	defer func() { err = errors.Join(err, pages.Close()) }()
	c := f.Schema.Columns[i]
	for {
		page, err := pages.ReadPage()
		if errors.Is(err, io.EOF) {
			return n, nil
		}
		if err != nil {
			return n, err
		}
		values := page.Values()
		for {
			k, err := values.ReadValues(batch)
			for _, v := range batch[:k] {
				tidy, wrong := tidied(c, plain(v))
				if wrong != nil {
					return n, wrong
				}
				f.data[i].add(c.Kind, tidy)
			}
			n += int64(k)
			if errors.Is(err, io.EOF) {
				break
			}
			if err != nil {
				return n, err
			}
			if k == 0 {
				return n, io.ErrNoProgress
			}
		}
		parquet.Release(page)
	}
}

// plain is a value in Go's own form, nil if there is none.
func plain(v parquet.Value) any {
	if v.IsNull() {
		return nil
	}
	switch v.Kind() {
	case parquet.Int64:
		return v.Int64()
	case parquet.Double:
		return v.Double()
	case parquet.Boolean:
		return v.Boolean()
	}
	return string(slices.Clone(v.ByteArray()))
}
