package chart

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"io"
	"math"
)

// WriteVTI writes the field as a volume in the open VTK XML format (ImageData, .vti; its file format guide, "XML file
// formats"), readable by the usual viewers of volumes. Cell data: grain (Int32, -1
// liquid, -2 not of the body), sector (UInt8, 255 where there is no grain), arrival_h (Float32, NaN where there is no
// grain) and stray (UInt8, 1 in grains of spontaneous origin). Lengths are in mm; the units stand in the file as the
// field data "units". Data are appended, raw, in zlib blocks. The error is that of w, or names the faulty array.
func WriteVTI(w io.Writer, c *Cells) error {
	if err := c.check(); err != nil {
		return err
	}
	v := volume{c: c}
	v.add("FieldData", "units", "String", 1, []byte(vtiUnits))
	v.add("CellData", "grain", "Int32", 0, v.grains())
	v.add("CellData", "sector", "UInt8", 0, v.sectors())
	v.add("CellData", "arrival_h", "Float32", 0, v.arrivals())
	v.add("CellData", "stray", "UInt8", 0, v.strays())
	return v.write(w)
}

// A string array of VTK ends each of its values with a zero byte.
const vtiUnits = "length: mm; arrival_h: h from the start of the programme; sector: 0 +a, 1 -a, 2 +b, 3 -b, 4 +c, 5 -c, 6 seed or nucleus\x00"

// volume gathers the arrays of one file: their headers, and their data one behind the other.
type volume struct {
	c           *Cells
	field, cell bytes.Buffer // <DataArray …/> elements
	data        bytes.Buffer // what follows the underscore of AppendedData
}

// add appends an array; tuples is written only for field data, whose length the extent does not tell.
func (v *volume) add(section, name, kind string, tuples int, raw []byte) {
	where, kindWord := &v.cell, "DataArray"
	count := ""
	if section == "FieldData" {
		where, count = &v.field, fmt.Sprintf(` NumberOfTuples="%d"`, tuples)
	}
	if kind == "String" {
		kindWord = "Array"
	}
	fmt.Fprintf(where, "      <%s type=%q Name=%q%s format=\"appended\" offset=\"%d\"/>\n", kindWord, kind, name, count, v.data.Len())
	v.data.Write(zlibBlocks(raw))
}

func (v *volume) grains() []byte {
	raw := make([]byte, 0, 4*len(v.c.Grain))
	for _, g := range v.c.Grain {
		raw = binary.LittleEndian.AppendUint32(raw, uint32(g))
	}
	return raw
}

func (v *volume) sectors() []byte {
	raw := make([]byte, len(v.c.Grain))
	for i, g := range v.c.Grain {
		raw[i] = 255
		if g >= 0 {
			raw[i] = v.c.Sector[i]
		}
	}
	return raw
}

func (v *volume) arrivals() []byte {
	raw := make([]byte, 0, 4*len(v.c.Grain))
	none := math.Float32bits(float32(math.NaN()))
	for i, g := range v.c.Grain {
		bits := none
		if g >= 0 {
			bits = math.Float32bits(v.c.TimeH[i])
		}
		raw = binary.LittleEndian.AppendUint32(raw, bits)
	}
	return raw
}

func (v *volume) strays() []byte {
	raw := make([]byte, len(v.c.Grain))
	for i, g := range v.c.Grain {
		if g >= 0 && !v.c.Grains[g].Seeded {
			raw[i] = 1
		}
	}
	return raw
}

// write puts the file together. The corner of the first cell is half a cell before its centre; extents count corners.
func (v *volume) write(w io.Writer) error {
	n, h := v.c.N, v.c.CellMM
	extent := fmt.Sprintf("0 %d 0 %d 0 %d", n[0], n[1], n[2])
	o := v.c.Origin
	_, err := fmt.Fprintf(w, `<?xml version="1.0"?>
<VTKFile type="ImageData" version="1.0" byte_order="LittleEndian" header_type="UInt64" compressor="vtkZLibDataCompressor">
  <ImageData WholeExtent="%s" Origin="%v %v %v" Spacing="%v %v %v">
    <FieldData>
%s    </FieldData>
    <Piece Extent="%s">
      <CellData Scalars="grain">
%s      </CellData>
    </Piece>
  </ImageData>
  <AppendedData encoding="raw">
_`, extent, o[0]-h/2, o[1]-h/2, o[2]-h/2, h, h, h, v.field.String(), extent, v.cell.String())
	if err != nil {
		return fmt.Errorf("chart: writing the volume: %w", err)
	}
	if _, err = v.data.WriteTo(w); err == nil {
		_, err = io.WriteString(w, "\n  </AppendedData>\n</VTKFile>\n")
	}
	if err != nil {
		return fmt.Errorf("chart: writing the volume: %w", err)
	}
	return nil
}

// zlibBlocks is an array as VTK stores it: number of blocks, block size, size of a last part block (0 when there is
// none), the compressed sizes, all UInt64, and the blocks.
func zlibBlocks(raw []byte) []byte {
	const size = 1 << 18
	var blocks bytes.Buffer
	head := []uint64{uint64((len(raw) + size - 1) / size), size, uint64(len(raw) % size)}
	for start := 0; start < len(raw); start += size {
		before := blocks.Len()
		z := zlib.NewWriter(&blocks)
		z.Write(raw[start:min(start+size, len(raw))]) // writing to memory cannot fail
		z.Close()
		head = append(head, uint64(blocks.Len()-before))
	}
	out := make([]byte, 0, 8*len(head)+blocks.Len())
	for _, value := range head {
		out = binary.LittleEndian.AppendUint64(out, value)
	}
	return append(out, blocks.Bytes()...)
}
