package table

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/parquet-go/parquet-go"

	"onegrain/studies/column"
	"onegrain/studies/draws"
)

const (
	fewestLaws = 20 // of fewer nobody can say where 90 of 100 lie
	mostLaws   = 100_000
)

// unfit is the error of a sound file that holds no laws.
type unfit string

func (u unfit) Error() string { return string(u) }

// DecodeLaws reads a Parquet file of laws, by whatever program it was written; file is what errors
// call it. Columns may stand in any order, and others beside them. A damaged file, or one that was
// changed after it was written, is Corrupt; any other error says which column or key is not as
// wanted.
func DecodeLaws(file string, data []byte) (*draws.File, error) {
	const learn = "learn the laws anew with `onegrain fit laws`, or take a sound copy"
	var furnaces []string
	rows, err := unpack(data, func(pf *parquet.File) (s column.Schema, places []int, err error) {
		s, places, furnaces, err = lawSchema(pf)
		return s, places, err
	})
	if no := unfit(""); errors.As(err, &no) {
		return nil, fmt.Errorf("%s: no file of laws: %w; `onegrain help fit laws` lists the columns", file, err)
	}
	if err != nil {
		return nil, &Corrupt{File: file, Why: err.Error(), Next: learn}
	}
	f := &draws.File{Furnaces: furnaces, LogbookHash: rows.meta[keyLogbook], Priors: rows.meta[keyPriors],
		ModelVersion: rows.meta[keyModel]}
	if err = known(f, rows.meta); err == nil {
		f.Laws, err = lawsOf(rows, furnaces)
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	if hash, ours := rows.meta[keyContent]; ours && hash != lawsHash(f) {
		return nil, &Corrupt{File: file, Next: learn,
			Why: "its laws do not fit the hash that it bears: they were changed after it was written"}
	}
	return f, nil
}

// lawSchema finds the columns of laws among those of a file, and the furnaces that it names.
func lawSchema(pf *parquet.File) (s column.Schema, places []int, furnaces []string, err error) {
	if n := pf.NumRows(); n < fewestLaws || n > mostLaws {
		return s, nil, nil, unfit(fmt.Sprintf("it has %d rows: wanted %d to %d", n, fewestLaws, mostLaws))
	}
	fields := pf.Schema().Fields()
	for _, n := range fields {
		if name, is := strings.CutPrefix(n.Name(), columnOffset); is && name != "" {
			furnaces = append(furnaces, name)
		}
	}
	if len(furnaces) == 0 {
		return s, nil, nil, unfit("there is no column offset_K_ with the name of a furnace behind it: one of zeros will do")
	}
	wanted := []column.Column{{Name: columnFamily, Kind: column.Text, Null: true}}
	for _, c := range lawColumns(furnaces) {
		wanted = append(wanted, c.Column)
	}
	s.Table = lawsTable
	at := -1
	for _, n := range fields {
		if !n.Leaf() { // another program may have put lists beside the laws
			at += leaves(n)
			continue
		}
		at++
		i := slices.IndexFunc(wanted, func(c column.Column) bool { return c.Name == n.Name() })
		if i < 0 {
			continue
		}
		if kind, known := kindOf(n); !known || kind != wanted[i].Kind {
			return s, nil, nil, unfit(fmt.Sprintf("column %s holds %s: wanted %s", n.Name(), n, wanted[i].Kind))
		}
		s.Columns, places = append(s.Columns, wanted[i]), append(places, at)
		wanted = slices.Delete(wanted, i, i+1)
	}
	if len(wanted) > 0 {
		return s, nil, nil, unfit(fmt.Sprintf("there is no column %s", wanted[0].Name))
	}
	return s, places, furnaces, nil
}

// leaves counts the columns below a node.
func leaves(n parquet.Node) (count int) {
	if n.Leaf() {
		return 1
	}
	for _, f := range n.Fields() {
		count += leaves(f)
	}
	return count
}

// known reads the numbers that hold of all laws.
func known(f *draws.File, meta map[string]string) error {
	for _, m := range lawMeta(f) {
		text, there := meta[m.key]
		x, err := strconv.ParseFloat(text, 64)
		switch {
		case !there && m.needed:
			return fmt.Errorf("there is no key-value %s", m.key)
		case !there:
			*m.of = math.NaN()
		case err != nil || m.needed && (math.IsNaN(x) || math.IsInf(x, 0)):
			return fmt.Errorf("key-value %s = %q: wanted a number", m.key, text)
		default:
			*m.of = x
		}
	}
	if c := f.PeritecticC; !(c >= 500 && c <= 1500) {
		return fmt.Errorf("key-value %s = %v: wanted 500 to 1500 °C", keyPeritectic, c)
	}
	return nil
}

// lawsOf are the laws of the rows of a file.
func lawsOf(rows *Frame, furnaces []string) ([]draws.Law, error) {
	family, err := rows.Texts(columnFamily)
	if err != nil {
		return nil, err
	}
	all := make([]draws.Law, rows.Len())
	for i := range all {
		all[i] = draws.Law{Family: family[i], OffsetK: make([]float64, len(furnaces))}
		if f := family[i]; f != draws.Barrier && f != draws.Sites {
			return nil, fmt.Errorf("row %d, column %s: %q: wanted %q or %q", i+1, columnFamily, f, draws.Barrier, draws.Sites)
		}
	}
	for _, c := range lawColumns(furnaces) {
		values, err := rows.Reals(c.Name)
		if err != nil {
			return nil, err
		}
		for i := range all {
			if c.family != "" && c.family != all[i].Family {
				continue
			}
			*c.of(&all[i]) = values[i]
			if err := c.check(values[i]); err != nil {
				return nil, fmt.Errorf("row %d, %w", i+1, err)
			}
		}
	}
	return all, nil
}
