package chart

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"

	"onegrain/analysis/chart/scene"
)

// vtiFile is what the small reader of these tests understands of a volume; it shares nothing with
// the writer.
type vtiFile struct {
	Type       string `xml:"type,attr"`
	ByteOrder  string `xml:"byte_order,attr"`
	HeaderType string `xml:"header_type,attr"`
	Compressor string `xml:"compressor,attr"`
	Image      struct {
		WholeExtent, Origin, Spacing string     `xml:",attr"`
		Field                        []vtiArray `xml:"FieldData>Array"`
		Piece                        struct {
			Extent string     `xml:",attr"`
			Cells  []vtiArray `xml:"CellData>DataArray"`
		}
	} `xml:"ImageData"`
}

type vtiArray struct {
	Type, Name string `xml:",attr"`
	XMLType    string `xml:"type,attr"`
	Format     string `xml:"format,attr"`
	Offset     int    `xml:"offset,attr"`
}

// readVTI takes a volume apart: its XML head, and a function that unpacks the array at an offset.
func readVTI(raw []byte) (f vtiFile, unpack func(offset int) ([]byte, error), err error) {
	const open = `<AppendedData encoding="raw">`
	head, tail, found := bytes.Cut(raw, []byte(open))
	if !found {
		return f, nil, errors.New("no raw appended data")
	}
	_, data, found := bytes.Cut(tail, []byte("_"))
	if !found {
		return f, nil, errors.New("no underscore before the data")
	}
	whole := append(append([]byte{}, head...), []byte("</VTKFile>")...)
	if err := xml.Unmarshal(whole, &f); err != nil {
		return f, nil, err
	}
	return f, func(offset int) ([]byte, error) { return unpackBlocks(data[offset:]) }, nil
}

func unpackBlocks(data []byte) ([]byte, error) {
	word := func(i int) int { return int(binary.LittleEndian.Uint64(data[8*i:])) }
	blocks, size, last := word(0), word(1), word(2)
	var out []byte
	at := 8 * (3 + blocks)
	for b := range blocks {
		z, err := zlib.NewReader(bytes.NewReader(data[at : at+word(3+b)]))
		if err != nil {
			return nil, err
		}
		part, err := io.ReadAll(z)
		if err != nil {
			return nil, err
		}
		want := size
		if b == blocks-1 && last > 0 {
			want = last
		}
		if len(part) != want {
			return nil, fmt.Errorf("block %d has %d bytes, its head says %d", b, len(part), want)
		}
		out, at = append(out, part...), at+word(3+b)
	}
	return out, nil
}

// compareVTI reads a volume back and tells the first difference to the field.
func compareVTI(raw []byte, c *scene.Cells) error {
	f, unpack, err := readVTI(raw)
	if err != nil {
		return err
	}
	if f.Type != "ImageData" || f.ByteOrder != "LittleEndian" || f.HeaderType != "UInt64" ||
		f.Compressor != "vtkZLibDataCompressor" {
		return fmt.Errorf("head: %+v", f)
	}
	extent := fmt.Sprintf("0 %d 0 %d 0 %d", c.N[0], c.N[1], c.N[2])
	if f.Image.WholeExtent != extent || f.Image.Piece.Extent != extent {
		return fmt.Errorf("extent %q, piece %q, wanted %q", f.Image.WholeExtent, f.Image.Piece.Extent, extent)
	}
	corner := fmt.Sprint(c.Origin[0]-c.CellMM/2, c.Origin[1]-c.CellMM/2, c.Origin[2]-c.CellMM/2)
	if f.Image.Origin != corner {
		return fmt.Errorf("origin %q, wanted %q", f.Image.Origin, corner)
	}
	arrays := map[string][]byte{}
	for _, a := range f.Image.Piece.Cells {
		if arrays[a.Name+" "+a.XMLType], err = unpack(a.Offset); err != nil {
			return fmt.Errorf("%s: %w", a.Name, err)
		}
	}
	return compareCells(arrays, c)
}

func compareCells(arrays map[string][]byte, c *scene.Cells) error {
	n := len(c.Grain)
	grain, sector, arrival, stray := arrays["grain Int32"], arrays["sector UInt8"], arrays["arrival_h Float32"],
		arrays["stray UInt8"]
	if len(arrays) != 4 || len(grain) != 4*n || len(sector) != n || len(arrival) != 4*n || len(stray) != n {
		return fmt.Errorf("arrays of wrong length: %d arrays, %d, %d, %d, %d bytes for %d cells", len(arrays), len(grain),
			len(sector), len(arrival), len(stray), n)
	}
	for i, g := range c.Grain {
		if got := int32(binary.LittleEndian.Uint32(grain[4*i:])); got != g {
			return fmt.Errorf("grain of cell %d is %d, wanted %d", i, got, g)
		}
		wantSector, wantStray, wantH := uint8(255), uint8(0), float32(math.NaN())
		if g >= 0 {
			wantSector, wantH = c.Sector[i], c.TimeH[i]
			if !c.Grains[g].Seeded {
				wantStray = 1
			}
		}
		h := math.Float32frombits(binary.LittleEndian.Uint32(arrival[4*i:]))
		if h != wantH && h == h || (h != h) != (wantH != wantH) || sector[i] != wantSector || stray[i] != wantStray {
			return fmt.Errorf("cell %d: arrival %v, sector %d, stray %d; wanted %v, %d, %d", i, h, sector[i], stray[i], wantH,
				wantSector, wantStray)
		}
	}
	return nil
}

func TestVolumeReadsBackValueByValue(t *testing.T) {
	fields := map[string]*scene.Cells{
		"several blocks": field([3]int{80, 80, 45}, 0.3, -1),
		"one cell":       field([3]int{1, 1, 1}, 2, -1),
		"section":        field([3]int{9, 1, 4}, 0.5, 1),
	}
	for i := range fields["section"].Grain {
		fields["section"].Grain[i] = min(-1, fields["section"].Grain[i]) // liquid alone
	}
	for name, c := range fields {
		var buf bytes.Buffer
		if err := WriteVTI(&buf, c); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if err := compareVTI(buf.Bytes(), c); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		wrong := *c
		wrong.Grain = append([]int32{}, c.Grain...)
		if last := len(wrong.Grain) - 1; wrong.Grain[last] == -1 {
			wrong.Grain[last] = -2
		} else {
			wrong.Grain[last] = -1
		}
		if compareVTI(buf.Bytes(), &wrong) == nil {
			t.Errorf("%s: canary: a changed last cell went unnoticed", name)
		}
	}
}

func TestVolumeNamesItsUnits(t *testing.T) {
	var buf bytes.Buffer
	if err := WriteVTI(&buf, field([3]int{6, 6, 6}, 1, -1)); err != nil {
		t.Fatal(err)
	}
	f, unpack, err := readVTI(buf.Bytes())
	if err != nil || len(f.Image.Field) != 1 || f.Image.Field[0].Name != "units" {
		t.Fatalf("field data %+v, %v", f.Image.Field, err)
	}
	text, err := unpack(f.Image.Field[0].Offset)
	if err != nil || !strings.Contains(string(text), "length: mm") || !strings.HasSuffix(string(text), "\x00") {
		t.Errorf("units are %q, %v", text, err)
	}
}
