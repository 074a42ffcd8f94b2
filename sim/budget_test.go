package sim_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"onegrain/sim"
	"onegrain/sim/body"
	"onegrain/sim/draw"
	"onegrain/sim/furnace"
	"onegrain/sim/growth"
	"onegrain/sim/kinetics"
	"onegrain/sim/measure"
	"onegrain/sim/nucleation"
	"onegrain/sim/nucleation/rate"
)

// ledger is what a finished run adds up to, in cells.
type ledger struct{ body, owned, liquid, sectors, seeds int }

// TestBudgets: every cell of the body is owned or liquid; the sectors of a grain and the cells of
// its seed or nucleus make the grain; the measures tell the same sums. A failing case prints the
// number that makes it again. Canary: one cell less.
func TestBudgets(t *testing.T) {
	strays, liquid := 0, 0
	for n := range uint64(12) {
		c := random(n)
		on := c.crowded(t, n)
		o := grown(on, draw.NewKey("budgets", fmt.Sprint(n)))
		l := added(o)
		survey := measure.Look(o, 5)
		strays, liquid = strays+len(o.Grains)-2, liquid+l.liquid
		if err := l.check(on, survey); err != nil {
			t.Errorf("random(%d), %d grains: %v", n, len(o.Grains), err)
		}
		l.owned--
		if l.check(on, survey) == nil {
			t.Errorf("random(%d): canary passed with a cell missing", n)
		}
	}
	if strays < 12 || liquid == 0 {
		t.Errorf("%d strays and %d liquid cells in all: these cases ask too little", strays, liquid)
	}
}

// crowded is the body and the programme of a trial with two seeds on top and strays of a barrier
// law.
func (t trial) crowded(tb testing.TB, n uint64) *sim.Case {
	r := rand.New(rand.NewPCG(7, n))
	if n%2 == 0 {
		t.Hours *= 0.2 // ends with liquid left
	}
	at := func() [2]float64 { return [2]float64{float64(t.N[0]) * 0.6 * (r.Float64() - 0.5), 0} }
	return &sim.Case{Grid: t.grid(tb), GrowthA: kinetics.Power{RateAt10K: 1, Exponent: 1.4},
		GrowthC: kinetics.Power{RateAt10K: t.RateC, Exponent: t.ExpC}, Cooling: furnace.Cooling{Programme: t.programme()},
		Seeds: []sim.Seed{{AtMM: at(), SizeMM: [2]float64{4, 4}, TurnDeg: 20, TiltDeg: 5},
			{AtMM: at(), SizeMM: [2]float64{3, 3}, TurnSDDeg: 5}},
		Nuclei: nucleation.Model{Melt: rate.Barrier{PrefactorPerUnitH: 20 / float64(t.N[0]*t.N[1]*t.N[2]), BarrierK3: 1e5,
			PeritecticK: 1283}}}
}

func added(o *sim.Outcome) (l ledger) {
	l.body = o.Case.Grid.Cells()
	n := o.Case.Grid.N
	row := make([]growth.Cell, n[0])
	for k := range n[2] {
		for j := range n[1] {
			o.Field.Row(j, k, row)
			for _, c := range row {
				switch {
				case c.Grain == growth.Liquid:
					l.liquid++
				case c.Grain >= 0 && c.Sector == ofSeed:
					l.owned, l.seeds = l.owned+1, l.seeds+1
				case c.Grain >= 0:
					l.owned, l.sectors = l.owned+1, l.sectors+1
				}
			}
		}
	}
	return l
}

func (l ledger) check(on *sim.Case, s *measure.Survey) error {
	run := s.Run()
	volume, sectors, cell := 0.0, 0.0, on.Grid.CellVolume()
	for _, g := range s.Grains() {
		inside := 0.0
		for _, v := range g.SectorMM3 {
			inside += v
		}
		if inside > g.VolumeMM3+1e-9 {
			return fmt.Errorf("sectors of %g mm³ in a grain of %g", inside, g.VolumeMM3)
		}
		volume, sectors = volume+g.VolumeMM3/cell, sectors+inside/cell
	}
	off := func(a, b float64) bool { return math.Abs(a-b) > 1e-6*float64(l.body) }
	switch {
	case l.owned+l.liquid != l.body || l.sectors+l.seeds != l.owned:
		return fmt.Errorf("%+v does not add up", l)
	case off(volume, float64(l.owned)) || off(run.SolidFraction*float64(l.body), float64(l.owned)):
		return fmt.Errorf("%+v: grains make %g cells, the solid share is %g", l, volume, run.SolidFraction)
	case off(sectors, float64(l.sectors)):
		return fmt.Errorf("%+v: sectors make %g cells", l, sectors)
	case run.SectorAFraction+run.SectorCFraction > 1+1e-12:
		return fmt.Errorf("sector shares %g and %g", run.SectorAFraction, run.SectorCFraction)
	}
	return nil
}

// TestNoCellIsLaterThanFullBy: nuclei after Field.FullByH are not looked at, so no cell of a run
// without strays may be captured later. Random bodies with two seeds, and rings, whose far side
// lies in the shadow of the hole. Canary: an hour that is 1 % earlier.
func TestNoCellIsLaterThanFullBy(t *testing.T) {
	full, caught := 0, 0
	for n := range uint64(60) {
		on := random(n).crowded(t, 1) // an odd number: the programme is as long as it was
		if n%2 == 0 {
			g, err := body.Ring(24, 6+float64(n%10), 0, 1, body.FromAbove)
			if err != nil {
				t.Fatal(err)
			}
			on.Grid, on.Seeds[0].AtMM, on.Seeds[1].AtMM = g, [2]float64{-9, 0}, [2]float64{float64(n%18) - 9, 9.5}
		}
		o := sim.Seeded(on, draw.NewKey("full", fmt.Sprint(n)))
		row, last := make([]growth.Cell, on.Grid.N[0]), 0.0
		for u := range on.Grid.N[1] * on.Grid.N[2] {
			o.Field.Row(u%on.Grid.N[1], u/on.Grid.N[1], row)
			for _, c := range row {
				if c.Grain >= 0 {
					last = math.Max(last, float64(c.TimeH))
				}
			}
		}
		if by := o.Field.FullByH(); !math.IsInf(by, 1) {
			full++
			if last > by+1e-5*by { // of float32
				t.Errorf("random(%d): full by %.3f h, but the last cell is captured after %.3f h", n, by, last)
			}
			if last > 0.99*by {
				caught++
			}
		}
	}
	if full < 30 || caught < 10 {
		t.Errorf("%d bodies became full, %d told their hour closely: these cases ask too little", full, caught)
	}
}
