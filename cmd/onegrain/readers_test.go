package main

import (
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"onegrain/analysis/gallery"
	"onegrain/studies/again"
)

// smallBlock is a study of a body without symmetry, so that an exchange of axes would show.
const smallBlock = `title = "Small block"
[random]
seed = 3
[material]
base = "Y123, air"
[body]
shape = "block"
size_mm = [6, 4, 2]
cell_mm = 0.5
[[seed]]
at_mm = [1, 0.5]
size_mm = [2, 2]
turn_deg = 20
[schedule]
start_C = 1030
[[schedule.stage]]
to_undercooling_K = 8
rate_K_per_h = 60
[[schedule.stage]]
to_undercooling_K = 27
rate_K_per_h = 4
[nucleation.melt]
law = "barrier"
prefactor_per_mm3_h = 1.1e4
barrier_K3 = 1.0e7
[domain]
join_deg = 5
`

// volume is what VTK, which shares no code with us, finds in a .vti file.
type volume struct {
	Extent          [6]int
	Spacing, Origin [3]float64
	Cells, Field    map[string]struct {
		Type   string
		Values []any
	}
}

// vtk reads a volume in a process of its own: the reader crashes on files that are cut short.
// Without it the test is skipped, unless ONEGRAIN_READERS=1 demands it.
func vtk(t *testing.T, file string) (v volume) {
	t.Helper()
	needVTK(t)
	c := exec.Command(python, filepath.Join("..", "..", "testdata", "readers", "volume.py"), file)
	c.Stderr = os.Stderr
	text, err := c.Output()
	if err != nil {
		t.Fatalf("VTK cannot read %s: %v", file, err)
	}
	if err := json.Unmarshal(text, &v); err != nil {
		t.Fatal(err)
	}
	return v
}

const python = "/usr/bin/python3"

// needVTK skips a test where there is no VTK, before the work that it would read.
func needVTK(t *testing.T) {
	t.Helper()
	if err := exec.Command(python, "-c", "import vtk").Run(); err != nil {
		if os.Getenv("ONEGRAIN_READERS") == "1" {
			t.Fatal("VTK is not installed: run testdata/install.sh")
		}
		t.Skip("VTK is not installed: testdata/install.sh does it")
	}
}

// smallRun runs the first case of smallBlock: its first replicate with strays.
func smallRun(t *testing.T) *gallery.Gallery {
	t.Helper()
	path := filepath.Join(t.TempDir(), "block.toml")
	if err := os.WriteFile(path, []byte(smallBlock), 0o644); err != nil {
		t.Fatal(err)
	}
	p, err := loadCase(path, 1)
	if err != nil {
		t.Fatal(err)
	}
	for k := 1; ; k++ {
		run, err := again.Grow(p, k, true)
		if err != nil {
			t.Fatal(err)
		}
		if len(run.Outcome.Grains) < 2 && k < 20 {
			continue
		}
		g, err := gallery.New(run, "", 0, nil)
		if err != nil {
			t.Fatal(err)
		}
		return g
	}
}

func TestVTKReadsTheVolume(t *testing.T) {
	needVTK(t)
	g := smallRun(t)
	if n := len(g.Outcome.Grains); n < 2 {
		t.Fatalf("%d grains: wanted strays, so that there is something to compare", n)
	}
	file := filepath.Join(t.TempDir(), "block.vti")
	f, err := os.Create(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := g.Volume(f); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	v, c := vtk(t, file), g.Outcome.Case.Grid
	if want := [6]int{0, c.N[0], 0, c.N[1], 0, c.N[2]}; v.Extent != want {
		t.Errorf("extent %v: wanted %v", v.Extent, want)
	}
	for axis, x := range v.Origin { // the corner of the first cell
		if want := c.Origin[axis] - c.CellMM/2; math.Abs(x-want) > 1e-12 || v.Spacing[axis] != c.CellMM {
			t.Errorf("axis %d begins at %v in steps of %v: wanted %v, %v", axis, x, v.Spacing[axis], want, c.CellMM)
		}
	}
	compareCells(t, v, g)
	if len(v.Field["units"].Values) == 0 {
		t.Error("no units in the file")
	}
}

func compareCells(t *testing.T, v volume, run *gallery.Gallery) {
	t.Helper()
	c := run.Cells
	n := len(c.Grain)
	for _, name := range []string{"grain", "sector", "arrival_h", "stray"} {
		if len(v.Cells[name].Values) != n {
			t.Fatalf("%s: %d values: wanted %d", name, len(v.Cells[name].Values), n)
		}
	}
	for u, g := range c.Grain {
		sector, hour, stray := any(float64(c.Sector[u])), any(float64(c.TimeH[u])), any(0.0)
		if g < 0 {
			sector, hour = 255.0, nil
		} else if run.Outcome.Grains[g].Seed < 0 {
			stray = 1.0
		}
		if v.Cells["grain"].Values[u] != float64(g) || v.Cells["sector"].Values[u] != sector ||
			v.Cells["arrival_h"].Values[u] != hour || v.Cells["stray"].Values[u] != stray {
			t.Fatalf("cell %d is grain %v, sector %v, %v h, stray %v: wanted %v, %v, %v, %v", u, v.Cells["grain"].Values[u],
				v.Cells["sector"].Values[u],
				v.Cells["arrival_h"].Values[u], v.Cells["stray"].Values[u], g, sector, hour, stray)
		}
	}
}
