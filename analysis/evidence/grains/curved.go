package grains

import (
	"fmt"
	"math"

	"onegrain/analysis/evidence"
	"onegrain/analysis/evidence/door"
)

// curved is a grain on a ramp whose c sector has a curved boundary of slope about 1: both faces grow 1 mm/h at 10 K.
func curved(d *door.Door, name, body string, kPerH []float64) (sectorRun, error) {
	const key = "schedule.stage.1.rate_K_per_h"
	r, err := d.Run("order-"+name, scene{body: body, seeds: []pose{{size: curvedSeed}}, more: varied(key, kPerH), stages: "[[schedule.stage]]\nto_undercooling_K = 60\nrate_K_per_h = 1",
		growth: fmt.Sprintf("growth_a = {law = \"power\", rate_at_10K_mm_per_h = 1, exponent = %v}\ngrowth_c = {law = \"power\", rate_at_10K_mm_per_h = 1, exponent = %v}", exponentA, exponentC)}.text())
	if err != nil {
		return sectorRun{}, err
	}
	o, err := sectorsIn(r, key, kPerH)
	return sectorRun{r, o}, err
}

const curvedSeed = 2.9

// curvedShare integrates the c sector of that grain in a body of given half width and height.
func curvedShare(dims int, rateA, kPerH, half, deep float64) float64 {
	const n = 20000
	p := (exponentA + 1) / (exponentC + 1)
	c := kPerH / 10
	a := rateA * math.Pow(c, exponentA) / (exponentA + 1) * math.Pow((exponentC+1)/math.Pow(c, exponentC), p)
	sum := 0.0
	for i := range n {
		w := curvedSeed/2 + a*math.Pow((float64(i)+0.5)/n*deep, p)
		sum += math.Pow(math.Min(w, half)/half, float64(dims-1))
	}
	return sum / n
}

func sectorPlane(d *door.Door, s evidence.Size) ([]evidence.Finding, error) {
	return sectorOrder(d, "2D, section, curved boundary", "sector-plane", 2, 15, 12, halved(0.4, evidence.Of(s, 5, 3)), evidence.Of(s, 48, 24))
}

func sectorSpace(d *door.Door, s evidence.Size) ([]evidence.Finding, error) {
	return sectorOrder(d, "3D, curved boundary", "sector-space", 3, 9, 6, halved(0.6, evidence.Of(s, 4, 3)), evidence.Of(s, 48, 16))
}

func sectorOrder(d *door.Door, where, name string, dims int, half, deep float64, cells []float64, cases int) ([]evidence.Finding, error) {
	rates := make([]float64, cases)
	for i := range rates {
		rates[i] = math.Round(1e4*0.5*math.Pow(8, (float64(i)+0.5)/float64(cases))) / 1e4
	}
	e := trend{sample: fmt.Sprintf("%d cooling rates", cases)}
	for i, cell := range cells {
		body := block("", cell, false, 2*half, 2*half, deep)
		if dims == 2 {
			body = block("ac", cell, false, 2*half, deep)
		}
		o, err := curved(d, fmt.Sprintf("%s-%d", name, i), body, rates)
		if err != nil {
			return nil, err
		}
		var m mean
		for j, one := range o.cases {
			m.add(one.c()-curvedShare(dims, 1, rates[j], half, deep), one.c()-curvedShare(dims, tooFast, rates[j], half, deep))
		}
		e.rms(cell, m)
	}
	return []evidence.Finding{e.finding("share of the c sector, root mean square", where, "lattice points under a curve: order 1.5", 1.5, "growth rate of the a faces 2 % higher")}, nil
}
