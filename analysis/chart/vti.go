package chart

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"slices"

	"onegrain/analysis/chart/scene"
)

// A string array of VTK ends each of its values with a zero byte.
const vtiUnits = "length: mm; arrival_h: h from the start of the programme; " +
	"sector: 0 +a, 1 -a, 2 +b, 3 -b, 4 +c, 5 -c, 6 seed or start of a stray\x00"

// WriteVTI writes the field as a volume in the open VTK XML format (ImageData, .vti; its file
// format guide, "XML file formats"), readable by the usual viewers of volumes. Cell data: grain
// (Int32, -1 liquid, -2 not of the body), sector (UInt8, 255 where there is no grain), arrival_h
// (Float32, NaN where there is no grain) and stray (UInt8, 1 in grains of spontaneous origin).
// Lengths are in mm; the units stand in the file as the field data "units". Data are appended, raw,
// in zlib blocks. The error is that of w, or names the faulty array.
func WriteVTI(w io.Writer, c *scene.Cells) error {
	if err := c.Check(); err != nil {
		return err
	}
	sector, arrival, stray := slices.Clone(c.Sector), slices.Clone(c.TimeH), make([]uint8, len(c.Grain))
	for i, g := range c.Grain {
		if g < 0 {
			sector[i], arrival[i] = 255, float32(math.NaN())
		} else if !c.Grains[g].Seeded {
			stray[i] = 1
		}
	}
	var data bytes.Buffer // what follows the underscore of AppendedData
	var offsets []any
	for _, array := range []any{[]byte(vtiUnits), c.Grain, sector, arrival, stray} {
		offsets = append(offsets, data.Len())
		raw, err := binary.Append(nil, binary.LittleEndian, array)
		if err != nil {
			return fmt.Errorf("chart: packing the volume: %w", err)
		}
		data.Write(zlibBlocks(raw))
	}
	// The corner of the first cell is half a cell before its centre; extents count corners.
	h, o, extent := c.CellMM, c.Origin, fmt.Sprintf("0 %d 0 %d 0 %d", c.N[0], c.N[1], c.N[2])
	var file bytes.Buffer
	fmt.Fprintf(&file, `<?xml version="1.0"?>
<VTKFile type="ImageData" version="1.0" byte_order="LittleEndian" header_type="UInt64"`+
		` compressor="vtkZLibDataCompressor">
  <ImageData WholeExtent="%[1]s" Origin="%[2]v %[3]v %[4]v" Spacing="%[5]v %[5]v %[5]v">
    <FieldData>
      <Array type="String" Name="units" NumberOfTuples="1" format="appended" offset="%[6]d"/>
    </FieldData>
    <Piece Extent="%[1]s">
      <CellData Scalars="grain">
      <DataArray type="Int32" Name="grain" format="appended" offset="%[7]d"/>
      <DataArray type="UInt8" Name="sector" format="appended" offset="%[8]d"/>
      <DataArray type="Float32" Name="arrival_h" format="appended" offset="%[9]d"/>
      <DataArray type="UInt8" Name="stray" format="appended" offset="%[10]d"/>
      </CellData>
    </Piece>
  </ImageData>
  <AppendedData encoding="raw">
_%[11]s
  </AppendedData>
</VTKFile>
`, append([]any{extent, o[0] - h/2, o[1] - h/2, o[2] - h/2, h}, append(offsets, data.Bytes())...)...)
	if _, err := file.WriteTo(w); err != nil {
		return fmt.Errorf("chart: writing the volume: %w", err)
	}
	return nil
}

// zlibBlocks is an array as VTK stores it: number of blocks, block size, size of a last part block
// (0 when there is none), the compressed sizes, all UInt64, and the blocks.
func zlibBlocks(raw []byte) []byte {
	const size = 1 << 18
	head := []uint64{0, size, uint64(len(raw) % size)}
	var blocks bytes.Buffer
	for block := range slices.Chunk(raw, size) {
		before := blocks.Len()
		z := zlib.NewWriter(&blocks)
		z.Write(block) // writing to memory cannot fail
		z.Close()
		head[0]++
		head = append(head, uint64(blocks.Len()-before))
	}
	out, _ := binary.Append(nil, binary.LittleEndian, head)
	return append(out, blocks.Bytes()...)
}
