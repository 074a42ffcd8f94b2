package belief

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"onegrain/analysis/belief/facts"
	"onegrain/sim"
	"onegrain/sim/body"
	"onegrain/sim/draw"
	"onegrain/sim/furnace"
	"onegrain/sim/liquid"
	"onegrain/studies/draws"
)

// puck is a body of 24 × 8 mm with a seed of 2 × 2 mm.
func puck(t testing.TB) Body {
	t.Helper()
	g, err := body.Disc(24, 8, 0.2, body.Solid)
	if err != nil {
		t.Fatal(err)
	}
	law := draws.Law{RateA: 0.134, ExponentA: 1.9, RateC: 0.2, ExponentC: 1.3}.Laws(1010)
	c := &sim.Case{Grid: g, GrowthA: law.GrowthA, GrowthC: law.GrowthC, Seeds: []sim.Seed{{SizeMM: [2]float64{2, 2}}}}
	c.Programme = from(16, 24, 20)
	table, err := liquid.New(c, c.Placed(draw.NewKey("puck")))
	if err != nil {
		t.Fatal(err)
	}
	return Body{table, 1010}
}

// from is a programme that jumps to an undercooling and goes to another in some hours.
func from(startK, endK, hours float64) furnace.Programme {
	return furnace.Programme{Knots: []furnace.Knot{{}, {UndercoolingK: startK}, {TimeH: hours, UndercoolingK: endK}}}
}

// eight are the runs of the sheet in testdata.
func eight(t testing.TB) (runs []facts.Run) {
	t.Helper()
	file, err := os.Open("testdata/eight.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for line, cells := range rows[1:] {
		number := func(i int) float64 {
			x, err := strconv.ParseFloat(cells[i], 64)
			if err != nil {
				t.Fatal(err)
			}
			return x
		}
		hours, strays := number(3), int(number(7))
		runs = append(runs, facts.Run{Name: cells[0], Programme: from(number(1), number(2), hours), Saw: []facts.Fact{
			{Kind: facts.GrownA, ToH: hours, MM: (number(4) - number(5)) / 2, Line: line + 2},
			{Kind: facts.Strays, ToH: hours, Least: strays, Most: strays, Line: line + 2}}})
	}
	return runs
}

// chances are those of a single grain along a programme, for each law, over the scatter of its
// runs.
func chances(of []draws.Law, b Body, p furnace.Programme) (all []float64) {
	const nodes = 9
	for i := range of {
		sum, weights := 0.0, 0.0
		for n := range nodes {
			z := float64(n-nodes/2) * 0.75
			w := math.Exp(-z * z / 2)
			q := furnace.Programme{Knots: append([]furnace.Knot{}, p.Knots...)}
			for k := range q.Knots[1:] {
				q.Knots[k+1].UndercoolingK += z * of[i].ScatterK
			}
			c := b.Table.Course(q, of[i].Laws(b.PeritecticC), liquid.Quick)
			if weights += w; !math.IsInf(c.FullH, 1) {
				sum += w * math.Exp(-c.Lambda())
			}
		}
		all = append(all, sum/weights)
	}
	return all
}
