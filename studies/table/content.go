package table

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strconv"

	"github.com/parquet-go/parquet-go"

	"onegrain/studies/column"
)

// uncounted is the one column that differs between two computations of the same run.
const uncounted = "wall_s"

// ContentHash is the SHA-256, in hex digits, of all rows of the folder, however they are cut into
// files: two folders that hold the same rows have the same hash, whatever workers, shards,
// interruptions and merges made them.
//
// It is taken over text. For each table in the order of `onegrain help results`: a line with its
// name, a line with the names of its columns that hold any value, but for wall_s, then its rows
// sorted as text. Values are parted by tabs: whole numbers in decimal, reals in the shortest
// decimal that reads back to the same bits, text quoted as in Go, true or false, and nothing where
// there is no value.
func (f *Folder) ContentHash() (string, error) {
	h := sha256.New()
	for _, name := range column.Tables() {
		rows, err := f.Table(name)
		if err != nil {
			return "", err
		}
		columns := rows.counted()
		fmt.Fprintln(h, name)
		for _, i := range columns {
			fmt.Fprintf(h, "%s\t", rows.Schema.Columns[i].Name)
		}
		fmt.Fprintln(h)
		lines := make([][]byte, rows.Len())
		for r := range lines {
			lines[r] = rows.line(r, columns)
		}
		slices.SortFunc(lines, bytes.Compare)
		for _, l := range lines {
			h.Write(l)
		}
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}

// counted are the columns, by their places, that hold a value that does not depend on the hour of
// the day.
func (f *Frame) counted() []int {
	var all []int
	for i, c := range f.Schema.Columns {
		filled := slices.ContainsFunc(f.data[i], func(v parquet.Value) bool { return !v.IsNull() })
		if filled && c.Name != uncounted {
			all = append(all, i)
		}
	}
	return all
}

// line is a row as text.
func (f *Frame) line(r int, columns []int) []byte {
	var b []byte
	for _, i := range columns {
		switch v := plain(f.data[i][r]).(type) {
		case int64:
			b = strconv.AppendInt(b, v, 10)
		case float64:
			b = strconv.AppendFloat(b, v, 'g', -1, 64)
		case string:
			b = strconv.AppendQuote(b, v)
		case bool:
			b = strconv.AppendBool(b, v)
		}
		b = append(b, '\t')
	}
	return append(b, '\n')
}
