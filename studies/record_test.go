package studies

import (
	"fmt"
	"io/fs"
	"math"
	"strings"
	"testing"
)

const recorded = `title = "A run by its record"
[material]
base = "Y123, air"
[body]
shape = "disc"
diameter_mm = 12
height_mm = 4
cell_mm = 0.5
[[seed]]
size_mm = [2, 2]
peritectic_C = 1060
[schedule]
file = "run.csv"
`

// readings are those of a furnace that heats to 1045 °C, cools to 1002 °C in an hour and to 980 °C
// in forty, read every three minutes with noise.
func readings(noiseK float64) string {
	var b strings.Builder
	b.WriteString("time_h,temperature_C\n")
	for i := range 1041 {
		h := float64(i) / 20
		c := min(25+100*h, 1045)
		if h > 11 {
			c = max(1045-43*(h-11), 1002-22*(h-12)/40)
		}
		fmt.Fprintf(&b, "%.3f,%.4f\n", h, c+noiseK*math.Sin(77*h))
	}
	return b.String()
}

func withRecord(t *testing.T, text, record string) *Study {
	t.Helper()
	s, err := Load("run.toml", []byte(text), func(name string) ([]byte, error) {
		if name != "run.csv" {
			return nil, fs.ErrNotExist
		}
		return []byte(record), nil
	}, 0)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func identity(t *testing.T, s *Study) string {
	t.Helper()
	p, err := s.Plan(0)
	if err != nil {
		t.Fatal(err)
	}
	return p.ID
}

// A record becomes few pieces, and what grows along them is what grows along the stages that it was
// made of.
func TestARecordTakesThePlaceOfStages(t *testing.T) {
	by := withRecord(t, recorded, readings(0.02))
	stages := withRecord(t, strings.Replace(recorded, `file = "run.csv"`, `[[schedule.stage]]
to_C = 1045
rate_K_per_h = 100
[[schedule.stage]]
hold_h = 0.8
[[schedule.stage]]
to_C = 1002
rate_K_per_h = 43
[[schedule.stage]]
to_C = 980
rate_K_per_h = 0.55`, 1), "")
	e, err := by.Explain(0)
	if err != nil || e.Record == nil || e.Record.Readings != 1041 || e.Record.Pieces > 8 || e.Record.ToleranceK != 0.1 {
		t.Fatalf("%v, %+v", err, e.Record)
	}
	other, err := stages.Explain(0)
	if err != nil || other.Record != nil {
		t.Fatalf("%v, %+v", err, other.Record)
	}
	a, b := e.Schedule[len(e.Schedule)-1], other.Schedule[len(other.Schedule)-1]
	if math.Abs(a.TimeH-b.TimeH) > 1e-9 || math.Abs(a.GrownAMM/b.GrownAMM-1) > 0.01 ||
		math.Abs(a.UndercoolingK-30) > 0.05 {
		t.Errorf("%+v\nwanted about\n%+v", a, b)
	}
	if many, err := withRecord(t, recorded+"tolerance_K = 0.01\n", readings(0.02)).Explain(0); err != nil ||
		many.Record.Pieces < 20*e.Record.Pieces {
		t.Errorf("canary: a tolerance below the noise: %v, %+v", err, many.Record)
	}
}

// A case is what its readings are, however the file is called or written.
func TestARecordIsPartOfTheIdentity(t *testing.T) {
	plain := readings(0)
	want := identity(t, withRecord(t, recorded, plain))
	if got := identity(t, withRecord(t, recorded, "# furnace north\n"+strings.ReplaceAll(plain, ",",
		" , "))); got != want {
		t.Error("a remark made it another case")
	}
	if identity(t, withRecord(t, recorded, strings.Replace(plain, "52.000,980.0000", "52.000,979.0000", 1))) == want {
		t.Error("another reading makes the same case")
	}
	if identity(t, withRecord(t, recorded+"tolerance_K = 0.3\n", plain)) == want {
		t.Error("another tolerance makes the same case")
	}
	if got := withRecord(t, recorded, plain).Settings()["schedule.file"]; !strings.HasPrefix(got, "record ") {
		t.Errorf("settings say %q", got)
	}
}

// A reading a hair above the peritectic temperature after one below melts nothing again, and what
// is odd about a record is told by its lines.
func TestNoiseAndDoubtsOfARecord(t *testing.T) {
	crossing := "time_h,temperature_C\n0,1045\n1,1045\n2,1010.5\n3,1009.9\n4,1010.05\n60,985\n"
	withRecord(t, recorded+"tolerance_K = 0.04\n", crossing)
	fast := strings.Replace(crossing, "2,1010.5", "1.001,1010.5", 1)
	e, err := withRecord(t, recorded+"tolerance_K = 0.04\n", fast).Explain(0)
	if said := strings.Join(e.Warnings, "\n"); err != nil || !strings.Contains(said, "run.csv:4: 3.45e+04 K/h") ||
		!strings.Contains(said, "is time_h in hours?") {
		t.Errorf("%v, %s", err, said)
	}
}
