package table

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"

	"github.com/parquet-go/parquet-go"

	"onegrain/studies/column"
)

// Limits of a file: rows in a group (the library's own default keeps everything in memory), rows
// handed over at a time.
const (
	groupRows = 100_000
	batchRows = 1024
)

// keyColumns and keyTable are the file's own description of its columns and its name, beside those
// of provenance. keyWith stands in the files of runs: the files that hold the other rows of the
// same runs. keyModel, keyStudy and keyDraws say of which version the rows are.
const (
	keyColumns = "onegrain.columns"
	keyTable   = "onegrain.table"
	keyWith    = "onegrain.with"
	keyVersion = "onegrain.version"
	keyModel   = "onegrain.model_version"
	keyStudy   = "onegrain.study_sha256"
	keyDraws   = "onegrain.draws"
)

// described is a column as the file's key-values have it.
type described struct {
	Name  string `json:"name"`
	Kind  string `json:"type"`
	Unit  string `json:"unit,omitempty"`
	Means string `json:"meaning,omitempty"`
}

// encode makes the bytes of a Parquet file: the same rows give the same bytes.
func encode(f *Frame, meta map[string]string) ([]byte, error) {
	columns := make([]described, len(f.Schema.Columns))
	root := group{}
	for i, c := range f.Schema.Columns {
		columns[i] = described{c.Name, c.Kind.String(), c.Unit, c.Means}
		root.fields = append(root.fields, field{node(c), c.Name})
	}
	text, err := json.Marshal(columns)
	if err != nil {
		return nil, err
	}
	options := []parquet.WriterOption{
		parquet.NewSchema(f.Schema.Table, root), parquet.Compression(&parquet.Zstd),
		parquet.MaxRowsPerRowGroup(groupRows), parquet.DataPageStatistics(true),
		parquet.CreatedBy("onegrain", meta[keyVersion], meta[keyModel]),
		parquet.KeyValueMetadata(keyTable, f.Schema.Table), parquet.KeyValueMetadata(keyColumns, string(text)),
	}
	for k, v := range meta {
		options = append(options, parquet.KeyValueMetadata(k, v))
	}
	var b bytes.Buffer
	w := parquet.NewGenericWriter[any](&b, options...)
	for from := 0; from < f.rows; from += batchRows {
		if _, err := w.WriteRows(f.parquetRows(from, min(from+batchRows, f.rows))); err != nil {
			return nil, fmt.Errorf("table %s: %w", f.Schema.Table, err)
		}
	}
	if err := w.Close(); err != nil {
		return nil, fmt.Errorf("table %s: %w", f.Schema.Table, err)
	}
	return b.Bytes(), nil
}

// parquetRows turns rows from..to-1 into the library's form. It writes the levels itself: 1 for a
// value in a column that may be empty, 0 otherwise. Count and kind were checked on the way in; the
// library checks neither.
func (f *Frame) parquetRows(from, to int) []parquet.Row {
	rows := make([]parquet.Row, to-from)
	for r := range rows {
		rows[r] = make(parquet.Row, len(f.data))
		for i, c := range f.Schema.Columns {
			v := f.data[i][from+r]
			rows[r][i] = v.Level(0, btoi(c.Null && !v.IsNull()), i)
		}
	}
	return rows
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// node is a column in the library's form.
func node(c column.Column) parquet.Node {
	n := parquet.Leaf(parquet.BooleanType)
	switch c.Kind {
	case column.Int:
		n = parquet.Int(64)
	case column.Real:
		n = parquet.Leaf(parquet.DoubleType)
	case column.Text:
		n = parquet.Encoded(parquet.String(), &parquet.RLEDictionary)
	}
	if c.Null {
		return parquet.Optional(n)
	}
	return n
}

// group is the root of a schema that keeps its columns in our order; the library's own sorts them
// by name.
type group struct {
	parquet.Group // empty: it lends the methods every root has alike
	fields        []parquet.Field
}

func (g group) Fields() []parquet.Field { return g.fields }
func (g group) String() string          { return fmt.Sprint(len(g.fields), " columns") }
func (g group) GoType() reflect.Type    { return reflect.TypeFor[map[string]any]() }

type field struct {
	parquet.Node
	name string
}

func (f field) Name() string { return f.name }

// Value is part of the library's interface for Go structures; rows are handed over as plain values,
// so it finds nothing.
func (f field) Value(reflect.Value) reflect.Value { return reflect.Value{} }
