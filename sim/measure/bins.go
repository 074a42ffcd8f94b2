package measure

import (
	"math"
	"sort"

	"onegrain/sim/furnace"
)

// perPiece is how many bins a piece of the programme is cut into.
const perPiece = 4096

// bins gather weights by time, each piece of the programme in equal bins of its own.
type bins struct {
	knots  []float64 // hours, ascending
	weight []float64 // perPiece a piece, then one for times at or beyond the last knot
	moment []float64 // weight × time since the piece began
}

func newBins(p furnace.Programme) *bins {
	b := &bins{}
	for _, k := range p.Knots {
		b.knots = append(b.knots, k.TimeH)
	}
	n := (len(b.knots)-1)*perPiece + 1
	b.weight, b.moment = make([]float64, n), make([]float64, n)
	return b
}

// piece is the piece a time is in; the number of pieces for times at or beyond the end.
func (b *bins) piece(timeH float64) int {
	return max(0, sort.Search(len(b.knots), func(i int) bool { return b.knots[i] > timeH })-1)
}

// add is a weight until a time.
func (b *bins) add(timeH, weight float64) {
	p := b.piece(timeH)
	n := p * perPiece
	since := timeH - b.knots[p]
	if p < len(b.knots)-1 {
		n += max(0, min(perPiece-1, int(since/(b.knots[p+1]-b.knots[p])*perPiece)))
	}
	b.weight[n] += weight
	b.moment[n] += float64(weight * since)
}

// sum is Σ weight × hazard, the latter expected per unit until an hour.
func (b *bins) sum(hazard func(timeH float64) float64) (sum float64) {
	for n, w := range b.weight {
		if w > 0 {
			sum += float64(w * hazard(b.knots[n/perPiece]+math.Max(0, b.moment[n]/w)))
		}
	}
	return sum
}
