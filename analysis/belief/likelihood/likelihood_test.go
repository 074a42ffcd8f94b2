package likelihood

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"onegrain/analysis/belief/facts"
	"onegrain/sim"
	"onegrain/sim/body"
	"onegrain/sim/draw"
	"onegrain/sim/furnace"
	"onegrain/sim/kinetics"
	"onegrain/sim/liquid"
	"onegrain/studies/draws"
)

func law(family string) draws.Law {
	l := draws.Law{RateA: 0.134, ExponentA: 1.9, LengthScatter: 0.04, ScatterK: 0.3, OffsetK: []float64{0, 0.8}}
	l.PutC(20, 0.6)
	o := draws.Onset{Family: family, DailyK: 20, Steepness: 20}
	if family == draws.Sites {
		o.Steepness, o.DensityPerMM3 = 1.8, 0.2
	}
	o.Put(&l, 1010)
	return l
}

func table(t *testing.T) *liquid.Table {
	t.Helper()
	g, err := body.Disc(16, 6, 0.4, body.Solid)
	if err != nil {
		t.Fatal(err)
	}
	l := law(draws.Barrier).Laws(1010)
	c := &sim.Case{Grid: g, GrowthA: l.GrowthA, GrowthC: l.GrowthC, Seeds: []sim.Seed{{SizeMM: [2]float64{2, 2}}}}
	c.Programme = furnace.Programme{Knots: []furnace.Knot{{}, {UndercoolingK: 20}, {TimeH: 20, UndercoolingK: 20}}}
	of, err := liquid.New(c, c.Placed(draw.NewKey("body")))
	if err != nil {
		t.Fatal(err)
	}
	return of
}

// runs show each kind of fact, in two stages, in a further furnace, and without a seed.
func runs() []facts.Run {
	knots := func(pairs ...float64) (p furnace.Programme) {
		p.Knots = []furnace.Knot{{}}
		for i := 0; i < len(pairs); i += 2 {
			p.Knots = append(p.Knots, furnace.Knot{TimeH: pairs[i], UndercoolingK: pairs[i+1]})
		}
		return p
	}
	counted := func(fromH, toH float64, least, most int) facts.Fact {
		return facts.Fact{Kind: facts.Strays, FromH: fromH, ToH: toH, Least: least, Most: most}
	}
	hold, stages, cool := knots(0, 21, 8, 21), knots(0, 10, 6, 14, 6, 19, 9, 23), knots(0, 4, 30, 22)
	return []facts.Run{
		{Name: "none", Programme: hold, Saw: []facts.Fact{counted(0, 8, 0, 0)}},
		{Name: "three", Programme: hold, Saw: []facts.Fact{counted(0, 8, 3, 3)}},
		{Name: "any", Programme: hold, Saw: []facts.Fact{counted(0, 8, 1, facts.Any)}},
		{Name: "many", Programme: knots(0, 25, 4, 25), Saw: []facts.Fact{counted(0, 4, 26, facts.Any)}},
		{Name: "counted 40", Programme: knots(0, 25, 4, 25), Saw: []facts.Fact{counted(0, 4, 40, 40)}},
		{Name: "two or three", Programme: hold, Saw: []facts.Fact{counted(0, 8, 2, 3)}},
		{Name: "clean, then not", Programme: stages, Saw: []facts.Fact{counted(0, 7, 0, 0), counted(7, 9, 1, facts.Any)}},
		{Name: "clean until a jump", Programme: stages, Saw: []facts.Fact{counted(0, 6, 0, 0), counted(6, 9, 2, facts.Any)}},
		{Name: "first while cooling", Programme: stages, Saw: []facts.Fact{{Kind: facts.FirstStray, ToH: 8}}},
		{Name: "width", Programme: cool, Saw: []facts.Fact{{Kind: facts.GrownA, ToH: 30, MM: 6.1}}},
		{Name: "width and strays", Programme: hold, Saw: []facts.Fact{{Kind: facts.GrownA, ToH: 8, MM: 3.9},
			counted(0, 8, 2, 2)}},
		{Name: "depth", Programme: hold, Saw: []facts.Fact{{Kind: facts.GrownC, ToH: 8, MM: 3.8}}},
		{Name: "full", Programme: hold, Saw: []facts.Fact{{Kind: facts.ReachedA, ToH: 8, MM: 4.3},
			{Kind: facts.ShortOfA, ToH: 8,
				MM: 4.6}}},
		{Name: "another furnace", Furnace: 1, Programme: hold, Saw: []facts.Fact{counted(0, 8, 1, 1)}},
		{Name: "no seed", Programme: stages, LiquidMM3: 900, Saw: []facts.Fact{counted(0, 9, 2, 2)}},
	}
}

// slow is the likelihood of a run by 801 courses of fine steps, with gonum's distributions.
func slow(r *facts.Run, of *liquid.Table, l draws.Law) float64 {
	laws, sum := l.Laws(1010), 0.0
	until := func(byK, h float64) furnace.Programme {
		p := furnace.Programme{Knots: []furnace.Knot{{UndercoolingK: -100}}}
		for i, k := range r.Programme.Knots[1:] {
			k.UndercoolingK += byK
			if i > 0 && k.TimeH >= h {
				p.Knots = append(p.Knots, p.Knots[len(p.Knots)-1].Towards(k, h))
				break
			}
			p.Knots = append(p.Knots, k)
		}
		return p
	}
	lambda := func(byK, h float64) float64 {
		if h == 0 {
			return 0
		}
		p := until(byK, h)
		if r.LiquidMM3 == 0 {
			c := of.Course(p, laws, liquid.Fine)
			return c.Lambda()
		}
		expected, peak := 0.0, 0.0
		for i, k := range p.Knots[1:] {
			from := p.Knots[i]
			expected += laws.Nuclei.Melt.Expected(from.UndercoolingK, k.UndercoolingK, k.TimeH-from.TimeH, peak)
			peak = math.Max(peak, k.UndercoolingK)
		}
		return expected * r.LiquidMM3
	}
	mm := func(law kinetics.Law, p furnace.Programme) (sum float64) {
		for i, k := range p.Knots[1:] {
			sum += kinetics.Length(law, p.Knots[i].UndercoolingK, k.UndercoolingK, k.TimeH-p.Knots[i].TimeH)
		}
		return sum
	}
	const n = 801
	for i := range n {
		z := -6 + 12*float64(i)/(n-1)
		e := z*l.ScatterK + l.OffsetK[r.Furnace]
		chance := math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) * 12 / (n - 1)
		for _, f := range r.Saw {
			length := distuv.LogNormal{Sigma: l.LengthScatter}
			switch f.Kind {
			case facts.Strays:
				d := distuv.Poisson{Lambda: lambda(e, f.ToH) - lambda(e, f.FromH)}
				in := d.Survival(float64(min(f.Least-1, 25)))
				if f.Most <= 25 {
					in -= d.Survival(float64(f.Most))
				}
				chance *= in
			case facts.FirstStray:
				const dt = 1e-3
				chance *= math.Exp(-lambda(e, f.ToH)) * (lambda(e, f.ToH+dt) - lambda(e, f.ToH-dt)) / (2 * dt)
			case facts.GrownC:
				length.Mu = math.Log(mm(laws.GrowthC, until(e, f.ToH)))
				chance *= length.Prob(f.MM)
			default:
				length.Mu = math.Log(mm(laws.GrowthA, until(e, f.ToH)))
				chance *= map[facts.Kind]float64{facts.GrownA: length.Prob(f.MM), facts.ReachedA: length.Survival(f.MM),
					facts.ShortOfA: length.CDF(f.MM)}[f.Kind]
			}
		}
		sum += chance
	}
	return math.Log(sum)
}

// TestLog: curves and the few steps of the mean against 801 shifts, for scatters from narrow to
// so wide that most of the mean lies beyond two deviations. Canary: a scatter 10 % wider.
func TestLog(t *testing.T) {
	of := table(t)
	for _, family := range []string{draws.Barrier, draws.Sites} {
		for _, scatter := range [][2]float64{{0.05, 0.05}, {0.3, 0.04}, {0.9, 0.012}} {
			l := law(family)
			l.ScatterK, l.LengthScatter = scatter[0], scatter[1]
			canary := 0.0
			for _, r := range runs() {
				got, want := New(&r, of).Log(&l, l.Laws(1010)), slow(&r, of, l)
				if math.Abs(got-want) > 0.01 {
					t.Errorf("%s, %s, scatter %v: %.5f, wanted %.5f", r.Name, family, scatter, got, want)
				}
				wider := l
				wider.ScatterK *= 1.1
				canary = math.Max(canary, math.Abs(New(&r, of).Log(&wider, l.Laws(1010))-want))
			}
			if scatter[0] > 0.2 && canary < 0.05 {
				t.Errorf("%s, %v: a scatter 10 %% wider is as good", family, scatter)
			}
		}
	}
}

// TestFirstInHold: sites start where the undercooling rises, not while it is held.
func TestFirstInHold(t *testing.T) {
	r := runs()[0]
	r.Saw = []facts.Fact{{Kind: facts.FirstStray, ToH: 3}}
	rate, sites := law(draws.Barrier), law(draws.Sites)
	of := table(t)
	if x := New(&r, of).Log(&rate, rate.Laws(1010)); math.Abs(x-slow(&r, of, rate)) > 0.01 {
		t.Errorf("a rate: %v, wanted %v", x, slow(&r, of, rate))
	}
	if x := New(&r, of).Log(&sites, sites.Laws(1010)); x > -100 {
		t.Errorf("sites start in a hold: %v", x)
	}
}
