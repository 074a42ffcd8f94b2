package advice

import (
	"math"
	"sort"
)

// proxy stands for the body between trials: liquid left as a function of what the leading face has
// grown.
type proxy struct {
	*Task
	grown  []float64
	left   [][]float64
	fullMM float64
	stray  float64 // strays of a run over those of the proxy, from the last trial
}

func newProxy(t *Task, trial Trial) *proxy {
	return &proxy{Task: t, grown: trial.GrownMM, left: trial.Left, fullMM: trial.GrownMM[len(trial.GrownMM)-1], stray: 1}
}

// liquid is what is left for a source when the face has grown so far.
func (p *proxy) liquid(source int, grownMM float64) float64 {
	left := p.left[source]
	i := sort.SearchFloat64s(p.grown, grownMM)
	switch {
	case i == 0:
		return left[0]
	case i == len(p.grown):
		return 0
	}
	f := (grownMM - p.grown[i-1]) / (p.grown[i] - p.grown[i-1])
	return left[i-1] + f*(left[i]-left[i-1])
}

// A programme is walked in steps over which neither the undercooling nor the liquid changes much.
const (
	stepK    = 1.0  // K
	stepPart = 0.02 // of the length that fills the body
)

// follow walks a programme, whose last undercooling is held, until the body is full: expected
// strays and hours, +Inf where it never is. It goes no further once there are more strays than
// `enough`, 0 for never enough.
func (p *proxy) follow(programme []Point, enough float64) (strays, hours float64) {
	w := walk{proxy: p, enough: math.Inf(1)}
	if enough > 0 {
		w.enough = enough / p.stray
	}
	for i := 1; i < len(programme) && w.goesOn(); i++ {
		a, b := programme[i-1], programme[i]
		w.piece(a.UndercoolingK, b.UndercoolingK, b.TimeH-a.TimeH)
	}
	last := programme[len(programme)-1].UndercoolingK
	if w.goesOn() {
		rate := p.Grown(last, last, 1)
		if !(rate > 0) {
			return math.Inf(1), math.Inf(1)
		}
		w.piece(last, last, 1.000001*(p.fullMM-w.grown)/rate)
	}
	return w.strays * p.stray, w.hours
}

// walk is how far a programme has come.
type walk struct {
	*proxy
	grown, hours, strays, peak, enough float64
}

func (w *walk) goesOn() bool { return w.grown < w.fullMM && w.strays <= w.enough }

// piece goes along a straight piece until its end or until the body is full.
func (w *walk) piece(fromK, toK, hours float64) {
	deepest := math.Max(fromK, toK)
	n := math.Ceil(math.Max(math.Abs(toK-fromK)/stepK, w.Grown(deepest, deepest, hours)/(stepPart*w.fullMM)))
	n = math.Max(1, math.Min(n, 1000))
	for i := 0.0; i < n && w.goesOn(); i++ {
		a, b, h := fromK+(toK-fromK)*i/n, fromK+(toK-fromK)*(i+1)/n, hours/n
		mm := w.Grown(a, b, h)
		if rest := w.fullMM - w.grown; mm > rest {
			f := rest / mm
			b, h, mm = a+f*(b-a), f*h, rest
			w.grown = w.fullMM - mm // and no rounding keeps it short of full
		}
		for s := range w.Sources {
			w.strays += w.liquid(s, w.grown+mm/2) * w.Sources[s].Expected(a, b, h, w.peak)
		}
		w.peak = math.Max(w.peak, b)
		w.grown, w.hours = w.grown+mm, w.hours+h
	}
}
