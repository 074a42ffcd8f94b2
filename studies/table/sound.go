package table

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"io"

	"github.com/parquet-go/parquet-go"
	"github.com/parquet-go/parquet-go/encoding/thrift"
	"github.com/parquet-go/parquet-go/format"
)

// The Parquet library takes the memory that a file asks for, and one damaged length asks for
// gigabytes, which no recover brings back. So lengths and checksums are looked at first: those of
// the footer before the library sees the file, those of the pages before it reads them.

// What no file of this program comes near: the library ends a page at 256 KiB unpacked, and a
// dictionary holds at most one text a row.
const (
	largestPage = 64 << 20        // bytes, unpacked
	mostRows    = 100 * groupRows // in a row group
	deepest     = 32              // structures or lists in each other
)

var errShort = errors.New("it ends too early, or a length in it is damaged")

// framed looks at the ends of a file and at its footer.
func framed(data []byte) error {
	const magic = "PAR1"
	n := len(data)
	if n < 12 || string(data[:4]) != magic || string(data[n-4:]) != magic {
		return errors.New("it does not begin and end as a Parquet file does")
	}
	footer := int64(binary.LittleEndian.Uint32(data[n-8:]))
	if footer > int64(n-12) {
		return fmt.Errorf("its footer has %d bytes, the file %d", footer, n)
	}
	if _, err := structure(data[n-8-int(footer) : n-8]); err != nil {
		return fmt.Errorf("footer: %w", err)
	}
	return nil
}

// pages looks at the pages of the columns in these places: each lies within the file, is of the
// checksum it was written with, and promises no more than its row group holds.
func pages(data []byte, pf *parquet.File, places []int) error {
	for _, g := range pf.Metadata().RowGroups {
		if g.NumRows > mostRows {
			return fmt.Errorf("a row group of %d rows: at most %d are read", g.NumRows, mostRows)
		}
		for _, p := range places {
			if p >= len(g.Columns) {
				return fmt.Errorf("a row group of %d columns: wanted more", len(g.Columns))
			}
			m := &g.Columns[p].MetaData
			from, size, all := m.DataPageOffset, m.TotalCompressedSize, int64(len(data))
			if m.DictionaryPageOffset != 0 {
				from = m.DictionaryPageOffset
			}
			if from < 0 || size < 0 || from > all || size > all-from {
				return fmt.Errorf("column %d lies outside the file", p+1)
			}
			if err := chunk(data[from:from+size], g.NumRows); err != nil {
				return fmt.Errorf("column %d: %w", p+1, err)
			}
		}
	}
	return nil
}

// chunk looks at the pages of one column in a row group of so many rows.
func chunk(data []byte, rows int64) error {
	for len(data) > 0 {
		var h format.PageHeader
		n, err := structure(data)
		if err == nil {
			err = thrift.Unmarshal(new(thrift.CompactProtocol), data[:n], &h)
		}
		if err != nil {
			return fmt.Errorf("page header: %w", err)
		}
		data = data[n:]
		size := int64(h.CompressedPageSize)
		values := max(h.DataPageHeader.V.NumValues, h.DataPageHeaderV2.V.NumValues, h.DictionaryPageHeader.V.NumValues)
		switch {
		case size < 0 || size > int64(len(data)):
			return fmt.Errorf("a page of %d bytes where %d follow", size, len(data))
		case h.UncompressedPageSize > largestPage:
			return fmt.Errorf("a page of %d bytes unpacked: at most %d are read", h.UncompressedPageSize, largestPage)
		case int64(values) > rows:
			return fmt.Errorf("a page of %d values in a row group of %d rows", values, rows)
		case crc32.ChecksumIEEE(data[:size]) != uint32(h.CRC):
			return errors.New("a page does not match its checksum")
		}
		data = data[size:]
	}
	return nil
}

// structure is the length of the structure that data begins with, in the compact protocol of Apache
// Thrift, in which Parquet writes its footer and page headers. No length beyond data is believed.
func structure(data []byte) (int, error) {
	left := bytes.NewReader(data)
	err := walker{new(thrift.CompactProtocol).NewReader(left), left}.value(thrift.STRUCT, 0)
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		err = errShort
	}
	return len(data) - left.Len(), err
}

type walker struct {
	thrift.Reader
	left *bytes.Reader
}

func (w walker) skip(n int) error {
	if n > w.left.Len() {
		return errShort
	}
	_, err := w.left.Seek(int64(n), io.SeekCurrent)
	return err
}

// value walks over a value of a kind.
func (w walker) value(kind thrift.Type, depth int) error {
	if depth > deepest {
		return fmt.Errorf("more than %d structures or lists nested in each other", deepest)
	}
	switch kind {
	case thrift.TRUE, thrift.FALSE, thrift.I8: // in a list a truth value is a byte
		return w.skip(1)
	case thrift.I16, thrift.I32, thrift.I64:
		_, err := w.ReadInt64()
		return err
	case thrift.DOUBLE:
		return w.skip(8)
	case thrift.BINARY:
		n, err := w.ReadLength()
		return cmp.Or(err, w.skip(n))
	case thrift.LIST, thrift.SET: // each item is a byte at least, so that a size beyond the bytes comes to their end
		l, err := w.ReadList()
		for n := int32(0); err == nil && n < l.Size; n++ {
			err = w.value(l.Type, depth+1)
		}
		return err
	case thrift.STRUCT:
		return w.fields(depth)
	}
	return fmt.Errorf("a value of kind %d, which Parquet does not use", kind)
}

func (w walker) fields(depth int) error {
	for {
		f, err := w.ReadField()
		if err != nil || f.Type == thrift.STOP {
			return err
		}
		if f.Type == thrift.TRUE || f.Type == thrift.FALSE {
			continue // a truth value is its own kind
		}
		if err := w.value(f.Type, depth+1); err != nil {
			return err
		}
	}
}
