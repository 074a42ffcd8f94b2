package grains

import (
	"fmt"
	"math"
	"slices"

	"onegrain/analysis/evidence"
	"onegrain/cmd/evidence/door"
)

const curvedSeed = 2.9

// curvedShare integrates the c sector of that grain in a body of given half width and height.
func curvedShare(dims int, rateA, kPerH, half, deep float64) float64 {
	const n = 4000
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
	return sectorOrder(d, "3D, curved boundary", "sector-space", 3, 9, 6, halved(evidence.Of(s, 1.2, 0.6), evidence.Of(s, 5, 3)), evidence.Of(s, 48, 24))
}

// sectorOrder grows a grain on ramps, whose c sector has a curved boundary of slope about 1: both faces grow 1 mm/h at 10 K.
func sectorOrder(d *door.Door, where, name string, dims int, half, deep float64, cells []float64, cases int) ([]evidence.Finding, error) {
	const key = "schedule.stage.1.rate_K_per_h"
	rates := make([]float64, cases)
	for i := range rates {
		rates[i] = math.Round(1e4*0.5*math.Pow(8, (float64(i)+0.5)/float64(cases))) / 1e4
	}
	body := block("", 1, false, 2*half, 2*half, deep)
	if dims == 2 {
		body = block("ac", 1, false, 2*half, deep)
	}
	r, err := d.Run("order-"+name, scene{body: body, seeds: []pose{{size: curvedSeed}}, more: varied(key, rates) + "\n" + varied("body.cell_mm", cells), stages: "[[schedule.stage]]\nto_undercooling_K = 60\nrate_K_per_h = 1",
		growth: fmt.Sprintf("growth_a = {law = \"power\", rate_at_10K_mm_per_h = 1, exponent = %v}\ngrowth_c = {law = \"power\", rate_at_10K_mm_per_h = 1, exponent = %v}", exponentA, exponentC)}.text())
	if err != nil {
		return nil, err
	}
	runs, err := r.Numbers("runs", "rate_K_per_h", "cell_mm", "sector_c_fraction")
	if err != nil {
		return nil, err
	}
	means := make([]mean, len(cells))
	for i, rate := range runs[0] {
		m := &means[slices.Index(cells, runs[1][i])]
		m.add(runs[2][i]-curvedShare(dims, 1, rate, half, deep), runs[2][i]-curvedShare(dims, tooFast, rate, half, deep))
	}
	e := trend{sample: fmt.Sprintf("%d cooling rates", cases)}
	for i, cell := range cells {
		e.rms(cell, means[i])
	}
	return []evidence.Finding{e.finding("share of the c sector, root mean square", where, "lattice points under a curve: order 1.5", 1.5, "growth rate of the a faces 2 % higher")}, nil
}
