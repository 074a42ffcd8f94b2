package border

import (
	"fmt"
	"math"
	"strconv"

	"onegrain/sim"
	"onegrain/sim/number"
	"onegrain/studies/strict"
)

// place is a seed and the table of the study that it comes from.
type place struct {
	sim.Seed
	path        string // "seed.2", "seed_array.1"
	peritecticC float64
}

// mostSeeds keeps a slip of the pen in an array from filling the memory; it is more than any furnace holds.
const mostSeeds = 100000

// layOut lists all seeds: the single ones in their order, then the arrays.
func layOut(d *strict.Document) ([]place, strict.Problems) {
	var seeds []place
	var found strict.Problems
	for i := 1; i <= d.Count("seed"); i++ {
		p := placing(d, "seed."+strconv.Itoa(i))
		p.AtMM = pair(d.Numbers(p.path + ".at_mm"))
		seeds = append(seeds, p)
	}
	for i := 1; i <= d.Count("seed_array"); i++ {
		one := placing(d, "seed_array."+strconv.Itoa(i))
		if n := declared(d, one.path); n > mostSeeds-len(seeds) {
			found = append(found, d.Problem(one.path, fmt.Sprintf("%d seeds in all, wanted at most %d", n+len(seeds), mostSeeds), "take fewer"))
			break
		}
		seeds = append(seeds, arrange(d, one)...)
	}
	return seeds, found
}

// declared is the number of seeds of an array; 0 where a key that lays them out is missing or was refused.
func declared(d *strict.Document, path string) int {
	for _, key := range map[string][]string{"ring": {"radius_mm"}, "grid": {"pitch_mm"}, "row": {"pitch_mm"}}[d.Text(path+".kind")] {
		if !d.Has(path + "." + key) {
			return 0
		}
	}
	if d.Text(path+".kind") == "grid" {
		return int(d.Number(path+".rows") * d.Number(path+".columns"))
	}
	return int(d.Number(path + ".count"))
}

func pair(v []float64) [2]float64 {
	if len(v) != 2 {
		return [2]float64{}
	}
	return [2]float64{v[0], v[1]}
}

// placing reads what single seeds and arrays share.
func placing(d *strict.Document, path string) place {
	p := place{path: path, peritecticC: math.Inf(1)}
	p.SizeMM = pair(d.Numbers(path + ".size_mm"))
	p.TurnDeg, p.TiltDeg, p.TiltTowardDeg = d.Number(path+".turn_deg"), d.Number(path+".tilt_deg"), d.Number(path+".tilt_toward_deg")
	p.TurnSDDeg, p.TiltSDDeg = d.Number(path+".turn_sd_deg"), d.Number(path+".tilt_sd_deg")
	if at := path + ".peritectic_C"; d.Has(at) {
		p.peritecticC = d.Number(at)
	}
	return p
}

// arrange lays out one array around its centre.
func arrange(d *strict.Document, one place) []place {
	centre := pair(d.Numbers(one.path + ".at_mm"))
	pitch := pair(d.Numbers(one.path + ".pitch_mm"))
	if declared(d, one.path) == 0 {
		return nil
	}
	switch d.Text(one.path + ".kind") {
	case "ring":
		return ring(d, one, centre)
	case "row":
		return lattice(one, centre, pitch, [2]float64{}, int(d.Number(one.path+".count")), 1)
	case "grid":
		return lattice(one, centre, [2]float64{pitch[0], 0}, [2]float64{0, pitch[1]}, int(d.Number(one.path+".columns")), int(d.Number(one.path+".rows")))
	}
	return nil
}

// ring lays seeds on a circle, the first towards +x. A radial seed turns with its place, and so does its tilt.
func ring(d *strict.Document, one place, centre [2]float64) []place {
	n, radius := int(d.Number(one.path+".count")), d.Number(one.path+".radius_mm")
	radial := d.Text(one.path+".turn") == "radial"
	out := make([]place, 0, n)
	for k := range n {
		azimuth := 360 * float64(k) / float64(n)
		p := one
		sin, cos := number.Sincos(azimuth * math.Pi / 180)
		p.AtMM = [2]float64{nanometre(centre[0] + float64(radius*cos)), nanometre(centre[1] + float64(radius*sin))}
		if radial {
			p.TurnDeg += azimuth
			p.TiltTowardDeg += azimuth
		}
		out = append(out, p)
	}
	return out
}

// lattice lays n·m seeds along two steps, centred.
func lattice(one place, centre, step, across [2]float64, n, m int) []place {
	out := make([]place, 0, n*m)
	for j := range m {
		for i := range n {
			p := one
			u, v := float64(i)-float64(n-1)/2, float64(j)-float64(m-1)/2
			for a := range 2 {
				p.AtMM[a] = nanometre(centre[a] + float64(u*step[a]) + float64(v*across[a]))
			}
			out = append(out, p)
		}
	}
	return out
}

// nanometre rounds a position, so that a quarter turn leaves no dust of 1e-16 mm that would break a symmetry.
func nanometre(mm float64) float64 { return math.Round(mm*1e6)/1e6 + 0 }
