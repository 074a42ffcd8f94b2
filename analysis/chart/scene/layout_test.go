package scene

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// Nothing may be drawn over the data: the legend stands clear of all views, and both on the sheet.
// The shapes beside the odd ones are random.
func TestLegendStandsClearOfTheViews(t *testing.T) {
	fields := odd()
	r := rand.New(rand.NewPCG(5, 6))
	for range 150 {
		n := [3]int{1 + r.IntN(40), 1 + r.IntN(40), 1 + r.IntN(20)}
		seed := nucleus{halfMM: 1, bornH: math.Pow(10, 6*r.Float64())}
		fields[fmt.Sprint(n)] = grownField(n, []float64{1e-3, 0.5, 12345}[r.IntN(3)], -1, everywhere, []nucleus{seed})
	}
	for name, c := range fields {
		for _, kind := range kinds()[:3] {
			k, err := compose(kind, c, Sheet{}, measure)
			if err != nil {
				t.Fatal(err)
			}
			if fault := misplaced(k, k.planned()); fault != "" {
				t.Errorf("%s of %s: %s", k.heading, name, fault)
			}
		}
	}
	k, _ := composed(t, "grains", puck(1, 0), Sheet{AtH: 1})
	k.plan.legendY = k.plan.boxes[1].y
	if misplaced(k, k.plan) == "" {
		t.Error("canary: a legend on top of the section went unnoticed")
	}
}

// misplaced tells what covers what, or leaves the sheet.
func misplaced(k *picture, p *plan) string {
	for i, b := range p.boxes {
		switch {
		case p.legendX < b.x+b.w && p.legendY < b.y+b.h:
			return fmt.Sprintf("the legend covers view %d", i)
		case b.x+b.w > p.width || b.y+b.h+axisBottom > p.height:
			return fmt.Sprintf("view %d leaves the sheet", i)
		case b.cell != p.boxes[0].cell:
			return "the views differ in scale"
		}
	}
	least := k.leastLegend()
	if _, _, high := k.legendSize(p.legendW); p.legendY+high > p.height || p.legendX+math.Max(p.legendW,
		least-14) > p.width {
		return fmt.Sprintf("the legend, %v wide, leaves the sheet", least)
	}
	return ""
}
