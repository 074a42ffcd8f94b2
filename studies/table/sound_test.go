package table

import (
	"bytes"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"slices"
	"strings"
	"testing"

	"github.com/parquet-go/parquet-go/encoding/thrift"
	"github.com/parquet-go/parquet-go/format"
)

// pageOf is the bytes of a page whose header is damaged as told after it was made.
func pageOf(t *testing.T, damage func(h *format.PageHeader)) []byte {
	t.Helper()
	body := []byte("a page's body")
	h := format.PageHeader{Type: format.DataPageV2, UncompressedPageSize: 13, CompressedPageSize: 13,
		CRC: int32(crc32.ChecksumIEEE(body))}
	h.DataPageHeaderV2.Valid, h.DataPageHeaderV2.V.NumValues = true, 3
	damage(&h)
	head, err := thrift.Marshal(new(thrift.CompactProtocol), h)
	if err != nil {
		t.Fatal(err)
	}
	return slices.Concat(head, body)
}

// A page header may be damaged anywhere; the page as it was made is read.
func TestPagesThatAskForTooMuch(t *testing.T) {
	if err := chunk(pageOf(t, func(*format.PageHeader) {}), 3); err != nil {
		t.Errorf("a sound page: %v", err)
	}
	if err := chunk([]byte{0x18, 0xff, 0xff, 0xff, 0xff, 7, 0}, 3); !errors.Is(err, errShort) {
		t.Errorf("a text of 2 GiB in the header: %v", err)
	}
	for want, damage := range map[string]func(h *format.PageHeader){
		"where 13 follow":             func(h *format.PageHeader) { h.CompressedPageSize = 14 },
		"of -1 bytes":                 func(h *format.PageHeader) { h.CompressedPageSize = -1 },
		"bytes unpacked":              func(h *format.PageHeader) { h.UncompressedPageSize = 1 << 30 },
		"a row group of 3 rows":       func(h *format.PageHeader) { h.DataPageHeaderV2.V.NumValues = 4 },
		"does not match its checksum": func(h *format.PageHeader) { h.CRC++ },
	} {
		if err := chunk(pageOf(t, damage), 3); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", want, err)
		}
	}
}

// withFooter is a file of that footer and nothing else.
func withFooter(footer []byte) []byte {
	return slices.Concat([]byte("PAR1"), footer, binary.LittleEndian.AppendUint32(nil, uint32(len(footer))),
		[]byte("PAR1"))
}

// What these ask for is more than a machine has: the process would end, and no recover helps.
func TestFootersThatAskForTooMuch(t *testing.T) {
	for name, c := range map[string]struct {
		footer []byte
		want   string
	}{
		"two thousand million row groups": {[]byte{0x49, 0xfc, 0xff, 0xff, 0xff, 0xff, 7, 0}, "a length in it is damaged"},
		"a text of two GiB":               {[]byte{0x68, 0xff, 0xff, 0xff, 0xff, 7, 0}, "a length in it is damaged"},
		"structures without end":          {bytes.Repeat([]byte{0x1c}, 10_000_000), "in each other"},
		"lists without end": {slices.Concat([]byte{0x19}, bytes.Repeat([]byte{0x19}, 10_000_000)),
			"in each other"},
		"a map": {[]byte{0x1b, 1, 0x88, 0}, "of kind 11"},
	} {
		if _, err := decode("f", withFooter(c.footer)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %.200v", name, err)
		}
	}
}
