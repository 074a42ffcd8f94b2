package studies

import (
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"onegrain/studies/material"
	"onegrain/studies/strict"
)

// The schedule of the shipped puck against the closed form of a power law on a linear ramp, ∫ r
// (ΔT/10)^n dt = r/(10^n s (n+1)) (ΔT₂^(n+1) − ΔT₁^(n+1)). Canary: the exponent 1.8.
func TestExplainSchedule(t *testing.T) {
	text, err := fs.ReadFile(Catalog(), "puck-window.toml")
	if err != nil {
		t.Fatal(err)
	}
	s := load(t, string(text))
	e, err := s.Explain(0) // 0.2 K/h from 4 K
	if err != nil {
		t.Fatal(err)
	}
	grown := func(rate, n float64) float64 {
		on := func(from, to, speed float64) float64 {
			return rate / (math.Pow(10, n) * speed * (n + 1)) * (math.Pow(to, n+1) - math.Pow(from, n+1))
		}
		return on(0, 4, 60) + on(4, 30, 0.2)
	}
	last := e.Schedule[4]
	if want := grown(0.134, 1.9); math.Abs(last.GrownAMM/want-1) > 1e-9 {
		t.Errorf("a faces have grown %.9g mm, wanted %.9g", last.GrownAMM, want)
	}
	if want := grown(0.201, 1.3); math.Abs(last.GrownCMM/want-1) > 1e-9 {
		t.Errorf("c faces have grown %.9g mm, wanted %.9g", last.GrownCMM, want)
	}
	if want := grown(0.134, 1.8); math.Abs(last.GrownAMM/want-1) < 0.01 {
		t.Error("the canary passes: the exponent 1.8 gives the same length")
	}
	// 25 → 1045 °C at 100 K/h, 1 h, 1045 → 1006 °C at 60 K/h, 26 K at 0.2 K/h
	for i, want := range []float64{0, 10.2, 11.2, 11.85, 141.85} {
		if got := e.Schedule[i].TimeH; math.Abs(got-want) > 1e-9 {
			t.Errorf("stage %d ends at %g h, wanted %g", i, got, want)
		}
	}
	if len(e.Seeds) != 1 || math.Abs(*e.Seeds[0].MarginK-15) > 1e-9 || e.HottestC != 1045 {
		t.Errorf("seeds %+v, hottest %g: wanted one with 15 K to spare at 1045 °C", e.Seeds, e.HottestC)
	}
	if e.Cases != 40 || e.Runs != 40*64 || e.MostCells != 120*120*40 || e.OddsHours <= 0 || e.CoreHours <= e.OddsHours {
		t.Errorf("%+v", e)
	}
}

// TestLoadIsQuick: a command answers within 0.3 s; loading and explaining the shipped study may
// take a third of it even on a busy machine.
func TestLoadIsQuick(t *testing.T) {
	text, err := fs.ReadFile(Catalog(), "puck-window.toml")
	if err != nil {
		t.Fatal(err)
	}
	best := time.Hour
	for range 5 {
		start := time.Now()
		s := load(t, string(text))
		if _, err := s.Explain(s.Cases() - 1); err != nil {
			t.Fatal(err)
		}
		best = min(best, time.Since(start))
	}
	if best > 100*time.Millisecond {
		t.Errorf("loading and explaining took %v, wanted 100 ms at most", best)
	}
}

// TestDamagedStudiesNeverPanic cuts valid studies short and spoils single bytes: each must give a
// study or problems.
func TestDamagedStudiesNeverPanic(t *testing.T) {
	paths, err := filepath.Glob(filepath.Join(invalid, "base", "*.toml"))
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range paths {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		for i := 0; i < len(text); i += 11 {
			spoilt := append([]byte(nil), text...)
			spoilt[i] = "\"'[]{}=.#\n9-x\x00\xff"[(i/11)%15]
			for _, damaged := range [][]byte{text[:i], spoilt} {
				if _, err := Load("damaged.toml", damaged, openBeside, testMemory); err != nil {
					if _, ok := err.(strict.Problems); !ok {
						t.Fatalf("%s, byte %d: %T, wanted strict.Problems", path, i, err)
					}
				}
			}
		}
	}
}

// Each key of the material table is a key of a study, of the right type and in its range.
func TestMaterials(t *testing.T) {
	keys := schema()
	for _, m := range material.Rows() {
		for _, p := range m.Properties {
			f, _ := keys.Field(p.Key)
			if f == nil {
				t.Errorf("%s: no such key %s", m.Name, p.Key)
				continue
			}
			if _, wanted, _ := f.Take(p.Key, p.Value); wanted != "" || p.Source == "" || p.Sure == "" {
				t.Errorf("%s, %s = %v: %s (source %q, %q)", m.Name, p.Key, p.Value, wanted, p.Source, p.Sure)
			}
		}
	}
}

func TestReferenceNamesEveryKey(t *testing.T) {
	text := Reference()
	for _, f := range schema() {
		if !strings.Contains(text, strings.ReplaceAll(f.Key, "#", "N")+"\n") || f.Means == "" {
			t.Errorf("%s is not in the reference, or means nothing", f.Key)
		}
	}
}
