package graph

import (
	"io"
	"math"
	"math/rand/v2"

	"onegrain/analysis/chart/paper"
)

// The values of these tests are invented: they check the drawing, not the physics.

// chart is what all charts have.
type chart interface {
	Draw(w io.Writer, format paper.Format) (alt string, err error)
}

var nan = math.NaN()

// Draw draws a window by itself.
func (n Window) Draw(w io.Writer, as paper.Format) (string, error) {
	return Multiples{Title: n.Title, Windows: []Window{n}}.Draw(w, as)
}

// Draw draws curves by themselves.
func (c Curves) Draw(w io.Writer, as paper.Format) (string, error) {
	return Multiples{Title: c.Title, Curves: []Curves{c}}.Draw(w, as)
}

// window is 5 × 8 cases whose chance falls with both axes, counted in 64 runs.
func window() Window {
	n := Window{Title: "Chance of a single grain", Wanted: 0.95,
		X: Axis{Name: "Cooling rate", Unit: "K/h"}, Y: Axis{Name: "Starting undercooling", Unit: "K"}}
	r := rand.New(rand.NewPCG(3, 4))
	for _, x := range []float64{0.2, 0.3, 0.4, 0.6, 0.8} {
		for i := range 8 {
			y := 4 + 2*float64(i)
			p := math.Exp(-math.Exp(14*(x-0.55) + 0.12*(y-8)))
			hits := 0
			for range 64 {
				if r.Float64() < p {
					hits++
				}
			}
			f := float64(hits) / 64
			half := 1.96*math.Sqrt(f*(1-f)/64) + 0.02
			n.Cells = append(n.Cells, Cell{X: x, Y: y, Exact: p, Hits: hits, Runs: 64, Low: math.Max(0, f-half),
				High: math.Min(1, f+half)})
		}
	}
	n.Cells[17].Failed = true
	n.Cells[3].Hits, n.Cells[3].Low, n.Cells[3].High = 52, 0.7, 0.9
	n.Contour = [][][2]float64{{{0.35, 4}, {0.34, 10}, {0.3, 18}}}
	n.Interval = [][][2]float64{{{0.33, 4}, {0.33, 10}, {0.29, 18}}, {{0.37, 4}, {0.36, 10}, {0.33, 18}}}
	return n
}

// bigWindow is 50 × 40 cases with exact odds alone.
func bigWindow() Window {
	n := Window{Title: "Exact odds of 2,000 cases", Wanted: 0.95, X: Axis{Name: "Cooling rate", Unit: "K/h", Log: true},
		Y: Axis{Name: "Starting undercooling", Unit: "K"}}
	for i := range 50 {
		for j := range 40 {
			x, y := 0.1*math.Pow(10, float64(i)/49), 4+14*float64(j)/39
			n.Cells = append(n.Cells, Cell{X: x, Y: y, Exact: math.Exp(-math.Exp(14*(x-0.55) + 0.12*(y-8)))})
		}
	}
	return n
}

// words is a window over an axis of words and one of numbers.
func words() Window {
	n := Window{Title: "How the seeds lie", Wanted: 0.9, X: Axis{Name: "Turn", Levels: []string{"parallel", "radial"}},
		Y: Axis{Name: "Placing scatter", Unit: "°"}}
	for i := range 2 {
		for j := range 5 {
			n.Cells = append(n.Cells, Cell{X: float64(i), Y: float64(j), Exact: 1 / (1 + float64(i+1)*float64(j)), Runs: 20,
				Hits: 20 / (1 + j), Low: 0.1, High: 1})
		}
	}
	return n
}

// scattered is a design that fills no grid.
func scattered() Window {
	n := Window{Title: "A Latin square design", Wanted: 0.9, X: Axis{Name: "Cooling rate", Unit: "K/h"},
		Y: Axis{Name: "Starting undercooling", Unit: "K"}}
	r := rand.New(rand.NewPCG(5, 6))
	for i := range 60 {
		x, y := 0.2+0.6*r.Float64(), 4+14*r.Float64()
		n.Cells = append(n.Cells, Cell{X: x, Y: y, Exact: math.Exp(-math.Exp(14*(x-0.55) + 0.12*(y-8))), Failed: i%20 == 0})
	}
	return n
}

func curves() Curves {
	exact, counted, other := Line{Name: "exact odds"}, Line{Name: "counted, 64 runs", Dots: true},
		Line{Name: "logistic fit with band"}
	for i := range 9 {
		x := 0.2 + 0.1*float64(i)
		p := 1 / (1 + math.Exp(20*(x-0.5)))
		exact.Points = append(exact.Points, Point{x, p, nan, nan})
		counted.Points = append(counted.Points, Point{x, math.Min(1, p+0.02), math.Max(0, p-0.08), math.Min(1, p+0.1)})
	}
	for i := range 81 {
		x := 0.2 + 0.01*float64(i)
		p := 1 / (1 + math.Exp(18*(x-0.52)))
		other.Points = append(other.Points, Point{x, p, p - 0.2*p*(1-p), p + 0.2*p*(1-p)})
	}
	return Curves{Title: "Chance of a single grain", X: Axis{Name: "Cooling rate", Unit: "K/h"},
		Y:     Axis{Name: "Chance of a single grain", Unit: ""},
		Lines: []Line{exact, counted, other}, To: 1, Wanted: 0.95}
}

func programme() Programme {
	return Programme{Title: "Furnace programme", Note: "From 25 °C", TimeH: []float64{0, 10.2, 11.2, 11.92, 66.9},
		UndercoolingK: []float64{985, -35, -35, 8, 30}, PeritecticC: 1010,
		Marks: []Mark{{11.8, "growth begins"}, {12.4, "starting undercooling reached"}, {46, "first stray"}, {52, "solid"}}}
}

func history() History {
	h := History{Title: "History of case 3, replicate 1"}
	for i := range 201 {
		t := 11.8 + 0.275*float64(i)
		a := 1 + 0.001*math.Pow(t-11.8, 2.5)
		h.TimeH = append(h.TimeH, t)
		h.UndercoolingK = append(h.UndercoolingK, 8+0.4*(t-11.8))
		h.ReachAMM, h.ReachCMM = append(h.ReachAMM, a), append(h.ReachCMM, 0.8*(a-1))
		h.SolidFraction, h.Nuclei = append(h.SolidFraction, math.Min(1, a*a/144)),
			append(h.Nuclei, math.Floor(math.Max(0, (t-40)/6)))
	}
	h.Marks = []Mark{{46, "first stray"}}
	return h
}

func distribution(samples int) Distribution {
	d := Distribution{Title: "Clear diameter over the replicates", X: Axis{Name: "Clear piece", Unit: "mm"},
		Marks: []Mark{{18, "wanted"}}}
	r := rand.New(rand.NewPCG(7, 8))
	for s := range samples {
		q := Sample{Name: []string{"0.2 K/h", "0.4 K/h", "0.6 K/h", "0.8 K/h"}[s]}
		for range 64 {
			q.Values = append(q.Values, math.Max(0, math.Min(24, 24-float64(s+1)*3*r.ExpFloat64())))
		}
		d.Samples = append(d.Samples, q)
	}
	return d
}

func bars() Bars {
	first := Line{Name: "first order", Points: []Point{{0, 0.52, 0.45, 0.6}, {0, 0.2, 0.12, 0.27},
		{0, 0.02, -0.04, 0.08}, {0, nan, nan, nan}}}
	total := Line{Name: "total", Points: []Point{{0, 0.61, 0.55, 0.66}, {0, 0.28, 0.2, 0.36}, {0, 0.03, -0.01, 0.07},
		{0, 0.1, 0.06, 0.15}}}
	return Bars{Title: "Which input matters", X: Axis{Name: "Share of the variance", Unit: ""},
		Names: []string{"cooling_rate_K_per_h", "start_undercooling_K", "turn_deg", "melt prefactor"},
		Sets:  []Line{first, total}, To: 1}
}

func field() Field {
	f := Field{Title: "Trapped field 1 mm above the top face", Note: "Critical current 100 A/mm², fully magnetised",
		NX: 80, NY: 80, StepMM: 0.4, Origin: [2]float64{-15.8, -15.8},
		Quantity: Axis{Name: "Trapped field", Unit: "T"}, Peaks: [][2]float64{{-4, 0}, {6, 2}},
		Remarks: []string{"Upper bound: uniform critical current, no current across borders of grains."}}
	for j := range 80 {
		for i := range 80 {
			x, y := -15.8+0.4*float64(i), -15.8+0.4*float64(j)
			f.Values = append(f.Values, 0.9*math.Exp(-((x+4)*(x+4)+y*y)/30)+0.5*math.Exp(-((x-6)*(x-6)+(y-2)*(y-2))/12)-0.05)
		}
	}
	var ring [][2]float64
	for n := range 73 {
		sin, cos := math.Sincos(float64(n) / 36 * math.Pi)
		ring = append(ring, [2]float64{12 * cos, 12 * sin})
	}
	f.Outlines = [][][2]float64{ring, {{2, -11.8}, {2, 11.8}}}
	return f
}

// longField is a low one with many peaks.
func longField() Field {
	f := Field{Title: "Trapped field of a strip", NX: 400, NY: 24, StepMM: 0.5, Origin: [2]float64{-99.75, -5.75},
		Quantity: Axis{Name: "Trapped field", Unit: "T"}}
	for i := range 5 {
		f.Peaks = append(f.Peaks, [2]float64{-80 + 40*float64(i), 0})
	}
	for j := range f.NY {
		for i := range f.NX {
			x, y := f.Origin[0]+0.5*float64(i), f.Origin[1]+0.5*float64(j)
			f.Values = append(f.Values, 0.3*math.Abs(math.Cos(math.Pi*x/40))*(1-y*y/36)-0.02)
		}
	}
	return f
}

func strip() Strip {
	s := Strip{Title: "Current limit of a strip", NX: 400, NY: 20, CellMM: 0.5, Origin: [2]float64{-99.75, 0.25},
		Stray: []bool{false, false, false, true, true}, Share: 0.37,
		Cut:     [][][2]float64{{{-20, 0}, {-18, 3}, {-19, 6}, {-17, 10}}},
		Remarks: []string{"Borders pass currents by an exponential law of their angle."}}
	for j := range 20 {
		for i := range 400 {
			g := int32(i / 150)
			if math.Abs(float64(i)-160)+math.Abs(float64(j)-8) < 9 {
				g = 3
			}
			if math.Abs(float64(i)-320)+math.Abs(float64(j)-15) < 12 {
				g = 4
			}
			s.Grain = append(s.Grain, g)
		}
	}
	return s
}

func multiples(kind string) Multiples {
	m := Multiples{Title: "By seed size"}
	for i, name := range []string{"2 mm", "4 mm", "6 mm"} {
		if kind == "windows" {
			w := window()
			w.Title, w.Contour, w.Interval = "Seed of "+name, nil, nil
			for j := range w.Cells {
				w.Cells[j].Exact = math.Pow(w.Cells[j].Exact, 1/float64(i+1))
			}
			m.Windows = append(m.Windows, w)
			continue
		}
		c := curves()
		c.Title = "Seed of " + name
		m.Curves = append(m.Curves, c)
	}
	return m
}

// scenes are charts with plenty to show.
func scenes() map[string]chart {
	return map[string]chart{"window": window(), "window of 2000": bigWindow(), "scattered": scattered(),
		"window of words": words(), "curves": curves(), "programme": programme(), "history": history(),
		"distribution": distribution(1), "distributions": distribution(4), "bars": bars(), "field": field(),
		"long field": longField(), "strip": strip(),
		"multiple windows": multiples("windows"), "multiple curves": multiples("curves")}
}
