package record_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"onegrain/studies/record"
)

// logged is a record of a programme with corners, read every few minutes with noise of so many K.
func logged(noiseK float64, corners ...[2]float64) string {
	var b strings.Builder
	b.WriteString("time_h,temperature_C\n")
	dice := rand.New(rand.NewPCG(1, 2))
	for k := 1; k < len(corners); k++ {
		from, to := corners[k-1], corners[k]
		for t := from[0]; t < to[0]; t += 0.05 {
			c := from[1] + (to[1]-from[1])*(t-from[0])/(to[0]-from[0])
			fmt.Fprintf(&b, "%.4f,%.4f\n", t, c+noiseK*(2*dice.Float64()-1))
		}
	}
	return b.String()
}

func read(t *testing.T, text string) record.Record {
	t.Helper()
	r, err := record.Read("run.csv", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// at is a record at an hour, straight between its readings.
func at(r record.Record, timeH float64) float64 {
	for i := 1; i < len(r); i++ {
		if timeH <= r[i].TimeH {
			a, b := r[i-1], r[i]
			return a.TemperatureC + (b.TemperatureC-a.TemperatureC)*(timeH-a.TimeH)/(b.TimeH-a.TimeH)
		}
	}
	return r[len(r)-1].TemperatureC
}

// A programme of four pieces, logged with noise: so many pieces come back, no reading is further
// off than the tolerance, and the corners are where they were. Canary: a tolerance below the noise
// leaves hundreds.
func TestARecordIsFewStraightPieces(t *testing.T) {
	corners := [][2]float64{{0, 25}, {10.2, 1045}, {11.2, 1045}, {12, 1002}, {60, 980}}
	r := read(t, logged(0.04, corners...))
	for tolerance, most := range map[float64]int{0.1: 6, 0.5: 6, 0.01: 10000} {
		few := r.Simplified(tolerance)
		if len(few) > most || few[0] != r[0] || few[len(few)-1] != r[len(r)-1] {
			t.Errorf("within %v K: %d readings are left", tolerance, len(few))
		}
		for _, p := range r {
			if off := math.Abs(at(few, p.TimeH) - p.TemperatureC); off > tolerance+1e-9 {
				t.Fatalf("within %v K: %v h is off by %v K", tolerance, p.TimeH, off)
			}
		}
		for _, c := range corners[1:4] {
			if off := math.Abs(at(few, c[0]) - c[1]); off > 0.2+tolerance+50*0.05 {
				t.Errorf("within %v K: the corner at %v h is off by %v K", tolerance, c[0], off)
			}
		}
	}
	if n := len(r.Simplified(0.01)); n < 300 {
		t.Errorf("canary: a tolerance below the noise leaves %d readings only", n)
	}
	if few, wanted, _ := r.Pieces(0.1); wanted != "" || len(few) > 6 {
		t.Errorf("%d, %s", len(few), wanted)
	}
}

// A record that scatters by more than the tolerance is refused with one that would do.
func TestANoisyRecordIsToldItsTolerance(t *testing.T) {
	r := read(t, logged(1, [2]float64{0, 1045}, [2]float64{100, 980}))
	few, wanted, hint := r.Pieces(0.1)
	if few != nil || !strings.HasPrefix(wanted, "its 2001 readings leave 18") || hint != "within 1.6 K there are 1" {
		t.Errorf("%v; %s; %s", len(few), wanted, hint)
	}
}

// The same readings have one hash, whatever marks stand between them; another reading another.
func TestTheHashIsOfTheReadings(t *testing.T) {
	plain := "time_h,temperature_C\n0,1045\n1.5,1002\n1.5,1001\n40,980\n"
	european := "sep=;\r\n" + strings.NewReplacer(",", ";", ".", ",").Replace(plain)
	want := read(t, plain).Hash()
	setPoint := strings.NewReplacer("C\n", "C,set point\n", "1002\n", "1002,999 or so\n").Replace(plain)
	for _, text := range []string{european, setPoint, "# furnace north\n" + plain} {
		if got := read(t, text).Hash(); got != want {
			t.Errorf("%q: %s, not %s", text, got, want)
		}
	}
	if r := read(t, plain); len(r) != 3 || r[1].TemperatureC != 1001 || r[1].Line != 4 {
		t.Errorf("of two readings at one hour the last counts: %v", r)
	}
	if read(t, strings.Replace(plain, "980", "981", 1)).Hash() == want {
		t.Error("canary: another reading has the same hash")
	}
}

func TestWhatIsNoRecordIsRefused(t *testing.T) {
	const head, missing = "time_h,temperature_C\n", "run.csv: there is no column temperature_C; a controller's record has"
	for text, want := range map[string]string{
		"":                     "run.csv: empty: wanted a head line with the names of columns, and one row for each reading",
		head:                   "run.csv:1: no rows: wanted one for each reading below the head line",
		"time_h,temp_C\n0,5\n": missing,
		"time_h\n0\n":          missing,
		head + "0,1045\n":      "run.csv: one hour alone: wanted readings of two hours at least",
		head + "1,5\n0.5,9\n":  `run.csv:3: time_h = "0.5": the reading before is of 1 h, which is later`,
		head + "1,5\n2,\n":     "run.csv:3: temperature_C: missing",
		head + "1,5\n2,x\n":    `run.csv:3: temperature_C = "x": wanted a number from -50 to 1500 (°C)`,
		head + "1,5\n2,NaN\n":  `run.csv:3: temperature_C = "NaN": wanted a number`,
	} {
		if _, err := record.Read("run.csv", []byte(text)); err == nil || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
	many := "time_h,temperature_C\n" + strings.Repeat("x,y\n", 50)
	if _, err := record.Read("run.csv", []byte(many)); err == nil || strings.Count(err.Error(), "\n") > 12 {
		t.Errorf("a file of another kind: %v", err)
	}
}
