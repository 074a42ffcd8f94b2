package table

import (
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"

	"github.com/parquet-go/parquet-go"
	"github.com/parquet-go/parquet-go/encoding/thrift"
	"github.com/parquet-go/parquet-go/format"
)

// The Parquet library takes the memory that a file asks for, and one damaged length asks for gigabytes, which no recover brings back.
// So lengths and checksums are looked at first: those of the footer before the library sees the file, those of the pages before it reads them.

// What no file of this program comes near: the library ends a page at 256 KiB unpacked, and a dictionary holds at most one text a row.
const (
	largestPage = 64 << 20        // bytes, unpacked
	mostRows    = 100 * groupRows // in a row group
)

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
	if err := (&thriftBytes{data: data[n-8-int(footer) : n-8]}).structure(0); err != nil {
		return fmt.Errorf("footer: %w", err)
	}
	return nil
}

// pages looks at the pages of the columns in these places: each lies within the file, is of the checksum it was written with, and
// promises no more than its row group holds.
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
			from := m.DataPageOffset
			if m.DictionaryPageOffset != 0 {
				from = m.DictionaryPageOffset
			}
			if from < 0 || m.TotalCompressedSize < 0 || from > int64(len(data)) || m.TotalCompressedSize > int64(len(data))-from {
				return fmt.Errorf("column %d lies outside the file", p+1)
			}
			if err := chunk(data[from:from+m.TotalCompressedSize], g.NumRows); err != nil {
				return fmt.Errorf("column %d: %w", p+1, err)
			}
		}
	}
	return nil
}

// chunk looks at the pages of one column in a row group of so many rows.
func chunk(data []byte, rows int64) error {
	var protocol thrift.CompactProtocol
	for len(data) > 0 {
		w := thriftBytes{data: data}
		if err := w.structure(0); err != nil {
			return fmt.Errorf("page header: %w", err)
		}
		var h format.PageHeader
		if err := thrift.NewDecoder(protocol.NewReaderFromBytes(data[:w.at])).Decode(&h); err != nil {
			return fmt.Errorf("page header: %w", err)
		}
		data = data[w.at:]
		size, values := int64(h.CompressedPageSize), max(h.DataPageHeader.V.NumValues, h.DataPageHeaderV2.V.NumValues, h.DictionaryPageHeader.V.NumValues)
		switch {
		case size < 0 || size > int64(len(data)):
			return fmt.Errorf("a page of %d bytes where %d follow", size, len(data))
		case h.UncompressedPageSize > largestPage:
			return fmt.Errorf("a page of %d bytes unpacked: at most %d are read", h.UncompressedPageSize, largestPage)
		case int64(values) > rows:
			return fmt.Errorf("a page of %d values in a row group of %d rows", values, rows)
		case crc32.ChecksumIEEE(data[:size]) != uint32(h.CRC):
			return errors.New("a page is not of its checksum")
		}
		data = data[size:]
	}
	return nil
}

// thriftBytes walks over data in the compact protocol of Apache Thrift (thrift-compact-protocol.md of that project), in which Parquet
// writes its footer and page headers, and believes no length that goes beyond them.
type thriftBytes struct {
	data []byte
	at   int
}

var errShort = errors.New("it ends too early, or a length in it is damaged")

// deepest is far more than the formats of Parquet nest.
const deepest = 32

func (w *thriftBytes) skip(n uint64) error {
	if n > uint64(len(w.data)-w.at) {
		return errShort
	}
	w.at += int(n)
	return nil
}

func (w *thriftBytes) byte() (byte, error) {
	if err := w.skip(1); err != nil {
		return 0, err
	}
	return w.data[w.at-1], nil
}

func (w *thriftBytes) varint() (uint64, error) {
	v, n := binary.Uvarint(w.data[w.at:])
	if n <= 0 {
		return 0, errShort
	}
	w.at += n
	return v, nil
}

// structure walks to the end of a structure.
func (w *thriftBytes) structure(depth int) error {
	if depth > deepest {
		return fmt.Errorf("more than %d structures in each other", deepest)
	}
	for {
		head, err := w.byte()
		if err != nil || head == 0 {
			return err
		}
		if head>>4 == 0 { // the number of the field follows
			if _, err := w.varint(); err != nil {
				return err
			}
		}
		if kind := head & 15; kind != 1 && kind != 2 { // a truth value is its own kind
			if err := w.value(kind, depth); err != nil {
				return err
			}
		}
	}
}

// value walks over a value by the protocol's number of its kind.
func (w *thriftBytes) value(kind byte, depth int) error {
	switch kind {
	case 1, 2, 3: // in a list a truth value is a byte
		return w.skip(1)
	case 4, 5, 6:
		_, err := w.varint()
		return err
	case 7:
		return w.skip(8)
	case 8:
		n, err := w.varint()
		if err != nil {
			return err
		}
		return w.skip(n)
	case 9, 10:
		return w.list(depth + 1)
	case 12:
		return w.structure(depth + 1)
	}
	return fmt.Errorf("a value of kind %d, which Parquet does not use", kind)
}

// list walks over a list or set. Each item is a byte at least, so a size beyond the bytes is damage.
func (w *thriftBytes) list(depth int) error {
	if depth > deepest {
		return fmt.Errorf("more than %d lists in each other", deepest)
	}
	head, err := w.byte()
	if err != nil {
		return err
	}
	n := uint64(head >> 4)
	if n == 15 {
		if n, err = w.varint(); err != nil {
			return err
		}
	}
	if n > uint64(len(w.data)-w.at) {
		return errShort
	}
	for range n {
		if err := w.value(head&15, depth); err != nil {
			return err
		}
	}
	return nil
}
