package shelf

import (
	"math"
	"math/rand/v2"
	"testing"

	"onegrain/analysis/advice"
)

// melt is a body in closed form by laws of which each has its own undercooling of one stray a day:
// 11 mm have to grow at 0.134 mm/h·(ΔT/10 K)^1.9, and strays come at exp((ΔT − onset)/0.7 K) a day
// while it does.
type melt struct{ onset, scatter []float64 }

func newMelt(n int, seed uint64) *melt {
	m, dice := &melt{}, rand.New(rand.NewPCG(seed, 1))
	for range n {
		m.onset, m.scatter = append(m.onset, 20+dice.NormFloat64()), append(m.scatter, 0.2*dice.NormFloat64())
	}
	return m
}

func (m *melt) follow(points []advice.Point, law int, by Shift) (o advice.Outcome) {
	onset, shift := 20.0, by.OtherK
	if law >= 0 {
		onset = m.onset[law]
	}
	switch {
	case !math.IsNaN(by.RunSD):
		shift += 0.2 * by.RunSD
	case law >= 0:
		shift += m.scatter[law]
	}
	grown := 0.0
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		hours, n := b.TimeH-a.TimeH, 20.0
		for k := range 20 {
			u := a.UndercoolingK + (b.UndercoolingK-a.UndercoolingK)*(float64(k)+0.5)/n + shift
			if u <= 0 {
				continue
			}
			h, rate := hours/n, 0.134*math.Pow(u/10, 1.9)
			rest := (11 - grown) / rate
			last := rest <= h
			o.ExpectedStrays += math.Exp((u-onset)/0.7) * math.Min(h, rest) / 24
			if grown += rate * h; last {
				o.FullH = a.TimeH + float64(k)*h + rest
				return o
			}
		}
	}
	o.FullH = math.Inf(1)
	return o
}

func (m *melt) task(chance float64) *Task {
	t := &Task{Follow: m.follow, DeepestK: 24, FirstKPerH: 60, Chance: chance, StepK: 0.1, StepKPerH: 0.01}
	for i := range m.onset {
		t.Laws = append(t.Laws, []string{"barrier", "sites"}[i/2%2])
	}
	return t
}

// TestToldIsTrue: what is told of a choice holds by laws that it was neither chosen nor judged by,
// within 0.02: 2000 of them, a standard error of the judging half of 0.006. It is solid in time,
// and the two families, which are alike here, are told alike. Canary: the programme that is the
// best by the law in the middle alone has much less.
func TestToldIsTrue(t *testing.T) {
	for _, wanted := range []float64{0.8, 0.95} {
		m, fresh := newMelt(800, 1), newMelt(2000, 2)
		task := m.task(wanted)
		c, err := task.Choose()
		if err != nil {
			t.Fatal(err)
		}
		all := make([]int, 2000)
		for i := range all {
			all[i] = i
		}
		truth := fresh.task(wanted).judged(c.Programme, c.EndH, all)
		if c.Chance < wanted || math.Abs(truth.Chance-c.Chance) > 0.02 {
			t.Errorf("wanted %v: told %v, by fresh laws %v: %+v", wanted, c.Chance, truth.Chance, c.Programme)
		}
		if math.Abs(c.Families["barrier"]-c.Families["sites"]) > 0.04 || c.Low >= c.Chance || c.High <= c.Chance {
			t.Errorf("wanted %v: by family %v, %v to %v", wanted, c.Families, c.Low, c.High)
		}
		one := &melt{onset: []float64{20, 20}, scatter: []float64{0, 0}}
		middle, err := one.task(wanted).Choose()
		if err != nil {
			t.Fatal(err)
		}
		if alone := fresh.task(wanted).judged(middle.Programme, middle.EndH, all); alone.Chance > wanted-0.05 {
			t.Errorf("wanted %v: the canary passes: by the middle law alone %v", wanted, alone.Chance)
		}
		if !(c.KnownH < c.EndH && c.KnownH > 0.5*c.EndH) || len(c.Considered) < 10 {
			t.Errorf("ends after %v h, with the law known after %v h; %d considered", c.EndH, c.KnownH, len(c.Considered))
		}
		whole := func(x, step float64) bool { return math.Abs(x/step-math.Round(x/step)) < 1e-6 }
		if !whole(c.StartK, 0.1) || !whole(c.RateKPerH, 0.01) || c.StartK > 24 {
			t.Errorf("%+v is not what a controller holds", c.Programme)
		}
	}
}

// TestSureLaws: with --sure the wanted chance holds in most laws, and in each family.
func TestSureLaws(t *testing.T) {
	m := newMelt(800, 3)
	task := m.task(0.95)
	task.Sure = 0.9
	c, err := task.Choose()
	if err != nil {
		t.Fatal(err)
	}
	have := map[string]float64{}
	for i, law := range c.judge {
		if f := task.fates(c.Points, c.judge[i:i+1], Own())[0]; f.chance >= 0.95 && !math.IsInf(f.fullH, 1) {
			have[task.Laws[law]]++
		}
	}
	for family, n := range have {
		if n < 0.9*200 {
			t.Errorf("%s: %v of 200 laws have the chance", family, n)
		}
	}
	mean, _ := m.task(0.95).Choose()
	if len(have) != 2 || c.EndH <= mean.EndH {
		t.Errorf("%v; ends after %v h, in the mean after %v h", have, c.EndH, mean.EndH)
	}
}

// TestDeeper: a tolerance, another furnace and no way out.
func TestDeeper(t *testing.T) {
	m := newMelt(400, 4)
	task := m.task(0.9)
	c, err := task.Choose()
	if err != nil {
		t.Fatal(err)
	}
	task.ToleranceK = 1
	safe, err := task.Choose()
	if err != nil || safe.StartK > c.StartK-0.7 {
		t.Errorf("with 1 K of tolerance %+v, without %+v, %v", safe, c, err)
	}
	same := task.In(c, func(int) float64 { return 0 })
	deep := task.In(c, func(int) float64 { return 1 })
	warm := task.In(c, func(int) float64 { return -1 })
	if math.Abs(same.Chance-c.Chance) > 1e-12 || deep.NoStray > same.NoStray-0.05 || warm.NoStray < same.NoStray ||
		warm.Chance > 0.2 {
		t.Errorf("%+v, deeper %+v, warmer %+v", same, deep, warm)
	}
	task.ToleranceK, task.Chance = 0, 1-1e-12
	if _, err := task.Choose(); err == nil {
		t.Error("a chance of one is found")
	}
}

// TestAtLeast against all ways in which four pieces in loads of two can turn out, and Pieces
// against what follows from it: with laws of which half always fail no number is enough.
func TestAtLeast(t *testing.T) {
	chances := []float64{0.2, 0.9}
	want := 0.0
	for way := range 1 << 4 {
		for loads := range 4 {
			p, good := 0.25, 0
			for piece := range 4 {
				q := chances[loads>>(piece/2)&1]
				if way>>piece&1 == 1 {
					p, good = p*q, good+1
				} else {
					p *= 1 - q
				}
			}
			if good >= 3 {
				want += p
			}
		}
	}
	if got := atLeast(3, 4, 2, chances); math.Abs(got-want) > 1e-12 {
		t.Errorf("%v, wanted %v", got, want)
	}
	if alone := atLeast(3, 4, 1, chances); math.Abs(alone-want) < 1e-3 {
		t.Error("the canary passes: loads of one are as loads of two")
	}
	fixed := func(chance ...float64) *Task {
		return &Task{Follow: func(_ []advice.Point, law int, _ Shift) advice.Outcome {
			return advice.Outcome{ExpectedStrays: -math.Log(chance[law])}
		}}
	}
	// a table of the binomial law: P(≥10 of 13) = 0.966, of 12 0.889
	if n := fixed(0.9).Pieces(nil, []int{0}, 10, 1, 0.95); n != 13 {
		t.Errorf("%d pieces, wanted 13", n)
	}
	if n := fixed(1, 0).Pieces(nil, []int{0, 1}, 1, 1, 0.95); n != 0 {
		t.Errorf("%d pieces where half of the laws never give one", n)
	}
	if n := fixed(1).Pieces(nil, []int{0}, 7, 1, 0.95); n != 7 {
		t.Errorf("%d pieces, wanted 7", n)
	}
}

// TestNext: a run that says nothing is worth nothing; one that shows the onset of its law is worth
// most of what knowing law and scatter would be.
func TestNext(t *testing.T) {
	m := newMelt(600, 5)
	task := m.task(0.95)
	nothing := Candidate{Text: "nothing", TakesH: 20, Look: func(int, Shift) (float64, float64) { return 1, 0 }}
	onset := Candidate{Text: "onset", TakesH: 20, Look: func(law int, _ Shift) (float64, float64) {
		return 0,
			m.onset[law]
	}}
	dear := onset
	dear.Text, dear.TakesH = "dear", 2000
	n, err := task.Next([]Candidate{nothing, onset, dear}, 20, func(int) float64 { return 0.005 }, 7)
	if err != nil {
		t.Fatal(err)
	}
	if n.Runs[0].Text != "onset" || n.Stop || n.Runs[0].Bits < 1.5 || n.Runs[0].EndH > n.Known+0.4*(n.Now-n.Known) {
		t.Errorf("now %v h, known %v h: %+v", n.Now, n.Known, n.Runs)
	}
	last := n.Runs[1]
	if last.Text != "nothing" || last.PaysFrom != 0 || math.Abs(last.Bits) > 0.02 || math.Abs(last.EndH-n.Now) > 0.1 {
		t.Errorf("a run that says nothing: %+v, now %v h", last, n.Now)
	}
	if n.Runs[2].Text != "dear" || n.Runs[2].PaysFrom <= 100 {
		t.Errorf("a dear one: %+v", n.Runs[2])
	}
	n, err = task.Next([]Candidate{nothing, dear}, 20, func(int) float64 { return 0.005 }, 7)
	if err != nil || !n.Stop {
		t.Errorf("no run pays, and still: %+v, %v", n, err)
	}
}
