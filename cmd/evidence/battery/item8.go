package battery

import (
	"fmt"
	"math"
	"strings"

	"github.com/sourcegraph/conc/iter"

	"onegrain/analysis/evidence"
	"onegrain/cmd/evidence/door"
)

// practice is item 8: what the trade knows.
func practice() evidence.Item {
	return evidence.Item{
		Number: 8, Name: "Shop practice",
		Source: "growth law of Y-123 believed Endo et al. 1996, its prefactors from memory; nucleation constants of Sm-123 and Nd-123 Mori et al. 2006, abstract read, viscosity 0.01 to 0.1 Pa s assumed; " +
			"single-grain window 988–1003 °C for CeO2-added Y-123, abstract read; furnace times: common practice",
		Settles: "that the units of growth and nucleation are right from the material table to the answer, and that answers have the size that furnaces show",
		Cannot: "the constants themselves: growth prefactors are from memory, the barrier of Y-123 is calibrated to the very window it is compared with, and peritectic temperatures of one " +
			"compound differ by more than the window is wide",
		Differences: []string{
			"The published window ends at 1003 °C as well. The model has no such end: near the peritectic temperature growth is slow, and the chance of a single grain stays 1. That a furnace run is given up is no part of the model.",
		},
		Check: func(d *door.Door, s evidence.Size) ([]evidence.Finding, error) {
			parts := iter.Map([]func(*door.Door, evidence.Size) each{growthTimes, furnaceTimes, strayUndercoolings, strayRates, calibration, window, unseeded},
				func(f *func(*door.Door, evidence.Size) each) each { return (*f)(d, s) })
			return together(parts)
		},
	}
}

// list is a TOML list.
func list(x []float64) string { return strings.Join(strings.Fields(fmt.Sprint(x)), ", ") }

// endo is the growth of the a faces of Y-123 in air, 4.7e-7 ΔT^1.9 mm/s, as the material table has it.
func endo() power { return power{0.134, 1.9} }

// growthTimes are hours to grow a radius from a seed at the centre, from 5 K on, as worked out by hand from the same law.
func growthTimes(d *door.Door, s evidence.Size) each {
	rates := []float64{0.2, 0.3, 0.5, 1}
	cell := evidence.Of(s, 0.1, 0.2)
	var found []evidence.Finding
	for _, row := range []struct {
		radius float64
		hours  []float64 // at each rate
	}{{10, []float64{59, 47, 36, 24}}, {12.5, []float64{65, 52, 39, 26}}, {15, []float64{71, 57, 42, 28}}, {20, []float64{81, 64, 48, 32}}, {30, []float64{96, 76, 56, 37}}} {
		p := programme{0, []stage{{toK: 5, rate: jump}, {toK: 50, rate: 1}}}
		study := fmt.Sprintf("[material]\nbase = \"Y123, air\"\n[body]\nshape = \"disc\"\nplane = \"ab\"\ndiameter_mm = %v\ncell_mm = %v\n[[seed]]\nsize_mm = [1, 1]\n", 2*row.radius+1, cell) +
			strings.Replace(p.toml(), fmt.Sprint(peritecticC), "1010", 1) + "[nucleation.melt]\nlaw = \"none\"\n" +
			fmt.Sprintf("[[vary]]\nkey = \"schedule.stage.2.rate_K_per_h\"\nname = \"cooling_K_per_h\"\nvalues = %s\n", list(rates))
		r, err := d.Run(fmt.Sprintf("practice-time-%v", row.radius), study)
		if err != nil {
			return each{nil, err}
		}
		x, err := r.Numbers("cases", "cooling_K_per_h", "time_to_full_h")
		if err != nil {
			return each{nil, err}
		}
		for i, rate := range rates {
			p.stages[1].rate = rate
			last := endo().rate(5 + rate*row.hours[i])
			f := evidence.Finding{
				Quantity: "hours to grow from 5 K on", Where: fmt.Sprintf("2D from above, disc, radius %v mm beside the seed, %v K/h", row.radius, rate), Unit: "h",
				Source: "worked out from R_a = 4.7e-7 ΔT^1.9 mm/s, rounded to whole hours", Sample: "1 run, deterministic", Because: "half an hour of rounding, half a cell at the last rate, and 0.2 % for the rounded prefactor",
				Comparison: evidence.Comparison{Expected: row.hours[i], Found: at(x, rate), Tolerance: 0.5 + cell/2/last + 0.002*row.hours[i]},
			}
			found = append(found, f.Against("growth rate +20 %", hours(faster{endo(), 1.2}, p, row.radius)))
		}
	}
	return each{found, nil}
}

// at is the second column where the first is x; NaN if nowhere.
func at(columns [][]float64, x float64) float64 {
	for i, v := range columns[0] {
		if math.Abs(v-x) < 1e-9 {
			return columns[1][i]
		}
	}
	return math.NaN()
}

// furnaceTimes are those of whole pucks, with the seed on top, against what the trade says its runs take.
func furnaceTimes(d *door.Door, s evidence.Size) each {
	cell := evidence.Of(s, 0.25, 0.5)
	var found []evidence.Finding
	for _, q := range []struct{ diameter, high, rate float64 }{{20, 8, 0.2}, {25, 10, 0.3}, {30, 12, 0.3}, {40, 15, 0.2}, {40, 15, 0.4}} {
		study := fmt.Sprintf("[material]\nbase = \"Y123, air\"\n[body]\nshape = \"disc\"\ndiameter_mm = %v\nheight_mm = %v\ncell_mm = %v\n[[seed]]\nsize_mm = [2, 2]\n", q.diameter, q.high, cell) +
			fmt.Sprintf("[schedule]\nstart_C = 1010\n[[schedule.stage]]\nto_undercooling_K = 5\nrate_K_per_h = 60\n[[schedule.stage]]\nto_undercooling_K = 45\nrate_K_per_h = %v\n[nucleation.melt]\nlaw = \"none\"\n", q.rate)
		r, err := d.Run(fmt.Sprintf("practice-puck-%v-%v", q.diameter, q.rate), study)
		if err != nil {
			return each{nil, err}
		}
		x, err := r.Numbers("runs", "time_to_full_h")
		if err != nil {
			return each{nil, err}
		}
		p := programme{0, []stage{{toK: 5, rate: 60}, {toK: 200, rate: q.rate}}}
		wrong := hours(faster{endo(), 10}, p, q.diameter/2-1)
		f := evidence.Finding{
			Quantity: "slow cooling until full", Where: fmt.Sprintf("3D, puck %v × %v mm, %v K/h from 5 K", q.diameter, q.high, q.rate), Unit: "h", Source: "common practice: 40 to 120 h for discs of 20 to 40 mm",
			Sample: "1 run, deterministic", Because: "the range that practice gives", Comparison: evidence.Comparison{Expected: 80, Found: x[0][0], Tolerance: 40},
		}
		f.Canary = evidence.Canary{Wrong: "growth rate tenfold", Comparison: evidence.Comparison{Expected: 80, Found: wrong, Tolerance: 40}}
		found = append(found, f)
	}
	return each{found, nil}
}
