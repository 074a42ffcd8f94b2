package door

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
)

// Volume is the field of one run as kept by [keep] fields. Cells are numbered with x running
// fastest.
type Volume struct {
	N        [3]int     // cells along x, y, z
	CornerMM [3]float64 // lower corner of the first cell
	CellMM   float64
	Grain    []int32   // from 0; -1 liquid, -2 not of the body
	Sector   []uint8   // 0 +a, 1 -a, 2 +b, 3 -b, 4 +c, 5 -c, 6 seed or nucleus, 255 no grain
	ArrivalH []float32 // NaN where there is no grain
}

// Centre of a cell by its number, mm.
func (v *Volume) Centre(cell int) (x, y, z float64) {
	i, j, k := cell%v.N[0], cell/v.N[0]%v.N[1], cell/(v.N[0]*v.N[1])
	at := func(axis, n int) float64 { return v.CornerMM[axis] + (float64(n)+0.5)*v.CellMM }
	return at(0, i), at(1, j), at(2, k)
}

// Volume is the field of the only replicate of a case; of the only case where caseID is empty. It
// panics with what is missing or damaged.
func (r *Results) Volume(caseID string) *Volume {
	files, err := filepath.Glob(filepath.Join(r.Dir, "fields", caseID+"*-1.vti"))
	if err != nil || len(files) != 1 {
		panic(fmt.Errorf("%s: %d volumes of case %q, wanted 1", r.Dir, len(files), caseID))
	}
	data, err := os.ReadFile(files[0])
	need(err)
	v, err := parse(data)
	if err != nil {
		panic(fmt.Errorf("%s: %w", files[0], err))
	}
	return v
}

// parse reads VTK XML ImageData with appended raw zlib blocks (the VTK file format guide, "XML file
// formats").
func parse(data []byte) (*Volume, error) {
	head, raw, ok := bytes.Cut(data, []byte("<AppendedData encoding=\"raw\">\n_"))
	if !ok {
		return nil, fmt.Errorf("no appended data")
	}
	v := &Volume{}
	extent := numbers(head, `WholeExtent="([^"]*)"`)
	origin, spacing := numbers(head, `Origin="([^"]*)"`), numbers(head, `Spacing="([^"]*)"`)
	if len(extent) != 6 || len(origin) != 3 || len(spacing) != 3 {
		return nil, fmt.Errorf("no extent, origin and spacing")
	}
	copy(v.CornerMM[:], origin)
	v.CellMM = spacing[0]
	cells := 1
	for axis := range v.N {
		v.N[axis] = int(extent[2*axis+1] - extent[2*axis])
		cells *= v.N[axis]
	}
	v.Grain, v.Sector, v.ArrivalH = make([]int32, cells), make([]uint8, cells), make([]float32, cells)
	for name, into := range map[string]any{"grain": v.Grain, "sector": v.Sector, "arrival_h": v.ArrivalH} {
		if err := array(head, raw, name, into); err != nil {
			return nil, fmt.Errorf("array %s: %w", name, err)
		}
	}
	return v, nil
}

// numbers are those of an attribute.
func numbers(head []byte, pattern string) (all []float64) {
	m := regexp.MustCompile(pattern).FindSubmatch(head)
	if m == nil {
		return nil
	}
	for _, word := range strings.Fields(string(m[1])) {
		x, err := strconv.ParseFloat(word, 64)
		if err != nil {
			x = math.NaN()
		}
		all = append(all, x)
	}
	return all
}

// array fills a slice from the compressed blocks: their number, size, size of the last, compressed
// sizes, then the blocks, one behind the other.
func array(head, raw []byte, name string, into any) error {
	at := numbers(head, `Name="`+name+`"[^>]*offset="([0-9]+)"`)
	if len(at) != 1 || int(at[0])+24 > len(raw) {
		return fmt.Errorf("no such array")
	}
	rest := raw[int(at[0]):]
	blocks := int(binary.LittleEndian.Uint64(rest))
	if blocks < 0 || blocks > len(rest)/8-3 {
		return fmt.Errorf("cut off")
	}
	var whole bytes.Buffer
	for r := bytes.NewReader(rest[8*(3+blocks):]); blocks > 0; blocks-- {
		z, err := zlib.NewReader(r)
		if err != nil {
			return err
		}
		if _, err := io.Copy(&whole, z); err != nil {
			return err
		}
	}
	return binary.Read(&whole, binary.LittleEndian, into)
}
