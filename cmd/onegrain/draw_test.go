package main

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// held is solid long before its programme ends; the seed is turned and stands off the middle.
const held = `title = "Held"
[material]
base = "Y123, air"
[body]
shape = "disc"
diameter_mm = 12
height_mm = 4
cell_mm = 0.5
[[seed]]
at_mm = [1, -2]
size_mm = [2, 1]
turn_deg = 25
[schedule]
[[schedule.stage]]
to_C = 1045
rate_K_per_h = 100
[[schedule.stage]]
to_undercooling_K = 12
rate_K_per_h = 60
[[schedule.stage]]
hold_h = 1000
[nucleation.melt]
law = "none"
`

// TestPlotsOverTimeEndWithTheBody reads the numbers on the axes of time: none is later than 1.1
// times the hour until solid, and the course tells of no grain wider than the body, which is 12 mm
// across.
func TestPlotsOverTimeEndWithTheBody(t *testing.T) {
	dir := t.TempDir()
	study := filepath.Join(dir, "held.toml")
	if err := os.WriteFile(study, []byte(held), 0o666); err != nil {
		t.Fatal(err)
	}
	var out, told bytes.Buffer
	code := execute([]string{"draw", study, "--pictures", "all", "--format", "svg", "--json", "--out", dir},
		streams{out: &out, err: &told})
	var d drawn
	if err := json.Unmarshal(out.Bytes(), &d); code != 0 || err != nil {
		t.Fatalf("code %d, %v: %s", code, err, &told)
	}
	for _, p := range d.Pictures {
		svg, err := os.ReadFile(p.File)
		if err != nil {
			t.Fatal(err)
		}
		switch p.Kind {
		case "programme", "history":
			full, _ := strconv.ParseFloat(regexp.MustCompile(`all solid, ([0-9.]+) h`).FindStringSubmatch(string(svg))[1], 64)
			rows := map[string][]float64{} // numbers that stand in one row
			number := regexp.MustCompile(`<text [^>]*y="([-0-9.]+)"[^>]*>([0-9.]+)</text>`)
			for _, m := range number.FindAllStringSubmatch(string(svg), -1) {
				x, _ := strconv.ParseFloat(m[2], 64)
				rows[m[1]] = append(rows[m[1]], x)
			}
			last := 0.0
			for _, row := range rows {
				if len(row) >= 4 {
					last = math.Max(last, row[len(row)-1])
				}
			}
			if last < 0.5*full || last > 1.1*full {
				t.Errorf("%s: the body is solid after %v h, the axis of time is numbered to %v h", p.Kind, full, last)
			}
			if m := regexp.MustCompile(`reaches ([0-9.]+) mm`).FindStringSubmatch(p.Shows); p.Kind == "history" {
				wide, err := strconv.ParseFloat(append(m, "", "")[1], 64)
				// the rim is 6.06 mm away along a: 6 + |cos 25° − 2 sin 25°|; and a cell
				if most := 6 + 0.06 + 0.5; err != nil || wide > most {
					t.Errorf("the history tells of %q: a grain that reaches %v mm", p.Shows, wide)
				}
			}
		case "grains", "sectors", "arrival", "boundaries", "corner":
			if !strings.Contains(string(svg), ">seed<") || !strings.Contains(string(svg), ">clear piece, 12.0 mm<") &&
				!strings.Contains(string(svg), ">clear piece, 11.") {
				t.Errorf("%s shows no seed or no clear piece", p.Kind)
			}
		}
	}
}
