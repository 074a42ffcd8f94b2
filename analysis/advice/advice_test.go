package advice

import (
	"math"
	"strings"
	"testing"
)

// TestTheChanceIsKept walks what was advised in steps of 18 s, with nothing of this package: strays
// never exceed −ln of the wanted chance with the undercooling deeper by the tolerance, and are not
// less than half of that, since start and stages are rounded to 0.1 K and the steepest of these
// laws doubles in 0.35 K. Canary: 0.5 K deeper there are more. What a controller is given are
// stages and holds of tenths of an hour that end at tenths of a kelvin, never warmer again, until a
// tenth of the growth time after the body should be full.
func TestTheChanceIsKept(t *testing.T) {
	for name, w := range map[string]*world{"puck": puck(), "gentle": gentle(), "sites": sites()} {
		for _, wanted := range [][2]float64{{0.6, 0}, {0.95, 0}, {0.95, 1.2}, {0.99, 0.5}} {
			chance, tolerance := wanted[0], wanted[1]
			task := w.task(chance)
			task.ToleranceK = tolerance
			a := designed(t, task)
			d := designer{task}
			most := -math.Log(chance)
			strays, _ := w.walk(d.moved(a.Programme, tolerance))
			if strays > most*(1+1e-3) || strays < most/2 {
				t.Errorf("%s, %v: %g strays, wanted %g at most\n%v", name, wanted, strays, most, a.Programme)
			}
			if over, _ := w.walk(d.moved(a.Programme, tolerance+0.5)); over <= most {
				t.Errorf("%s, %v: the canary passes, %g strays half a kelvin deeper", name, wanted, over)
			}
			if told := a.in(tolerance).ExpectedStrays; told != a.ExpectedStrays || math.Abs(told/strays-1) > 1e-3 {
				t.Errorf("%s, %v: told %g and %g strays, found %g", name, wanted, told, a.ExpectedStrays, strays)
			}
			for _, offset := range []float64{0, -tolerance} {
				if math.IsInf(a.in(offset).FullH, 1) {
					t.Errorf("%s, %v: not full by the end of the programme where the melt is %g K warmer", name, wanted, -offset)
				}
			}
			a.takes(t, name)
		}
	}
}

// takes checks that a controller can run it.
func (a *Advice) takes(t *testing.T, name string) {
	whole := func(x float64) bool { return math.Abs(10*x-math.Round(10*x)) < 1e-6 }
	for i, p := range a.Programme[1:] {
		before := a.Programme[i]
		hours, rise := p.TimeH-before.TimeH, p.UndercoolingK-before.UndercoolingK
		if !whole(p.UndercoolingK) || i > 0 && !whole(hours) || rise < 0 || hours <= 0 || i > 0 && rise == 0 &&
			before.UndercoolingK == a.Programme[i-1].UndercoolingK {
			t.Errorf("%s: stage %d of %v", name, i, a.Programme)
		}
	}
	if a.EndH < 1.1*a.in(0).FullH || a.EndH != a.Programme[len(a.Programme)-1].TimeH {
		t.Errorf("%s: ends after %g h, full after %g h", name, a.EndH, a.in(0).FullH)
	}
}

// TestBestOfPowerLaws: with growth k u^n, nucleation c u^m and liquid v (1 − s/L), the integrand (1
// + μ v (1 − s/L) c u^m)/(k u^n) is least where u^m (1 − s/L) is constant (Euler and Lagrange;
// there is no derivative of u in it), so u = U (1 − s/L)^(−1/m), hours = L/(k Uⁿ (1 + n/m)) and Λ =
// c v L U^(m−n)/(k (1 + n/m)). The advice may take 3 % more: 1 % that another stage would have to
// gain, twice, and the rounding of start and rates. The deepest undercooling, where u grows beyond
// bounds, costs next to nothing. Canaries: the best hold takes more, and so does the best even
// cooling from half the undercooling.
func TestBestOfPowerLaws(t *testing.T) {
	const n, m, length, volume, chance = 1.9, 4.0, 11.0, 3600.0, 0.95
	k, c := 0.134*math.Pow(10, -n), 1e-6*math.Pow(10, -m)
	u := math.Pow(-math.Log(chance)*k*(1+n/m)/(c*volume*length), 1/(m-n))
	best := length / (k * math.Pow(u, n) * (1 + n/m))
	w := gentle()
	a := designed(t, w.task(chance))
	down := a.Programme[1].TimeH
	if hours := a.in(0).FullH - down; !(hours < 1.03*best && hours > 0.995*best) {
		t.Errorf("%g h, the best there is %g h: %v", hours, best, a.Programme)
	}
	if len(a.Programme) < 4 {
		t.Errorf("one stage only: %v", a.Programme)
	}
	hold := math.Pow(-math.Log(chance)*k*2/(c*volume*length), 1/(m-n))
	if hours := length / (k * math.Pow(hold, n)); hours < 1.03*best {
		t.Errorf("the canary passes: the best hold takes %g h", hours)
	}
	task := w.task(chance)
	cooled := func(rate float64) []Point { return shape{rate: []float64{rate}}.from(u/2, task) }
	low, high := 0.0, 5.0
	for range 60 {
		rate := (low + high) / 2
		if strays := task.Follow(cooled(rate)).ExpectedStrays; strays > -math.Log(chance) {
			high = rate
		} else {
			low = rate
		}
	}
	if hours := task.Follow(cooled(low)).FullH; hours-down < 1.03*best {
		t.Errorf("the canary passes: even cooling from half the undercooling takes %g h", hours)
	}
}

// TestNoWayIsQuicker compares with the limit of a search over all ways of the undercooling that
// never rises (ideal_test.go). 3 % as above; the search has steps of 0.19 K and of a hundredth of
// the way, so its limit may be 1 % off. Sites that start at once or never make ways that cannot be
// mixed, and the limit, a bound by duality, is too low; there the advice has to be as good as the
// best hold. Canary: all of it 1 K shallower.
func TestNoWayIsQuicker(t *testing.T) {
	for name, w := range map[string]*world{"puck": puck(), "gentle": gentle(), "sites": sites()} {
		task := w.task(0.9)
		a := designed(t, task)
		limit := w.ideal(task).bound
		if w.sites {
			limit = math.Max(limit, w.bestHold(task))
		}
		if hours := a.in(0).FullH; !(hours < 1.03*limit && hours > 0.99*limit) {
			t.Errorf("%s: %g h, the limit is %g h: %v", name, hours, limit, a.Programme)
		}
		if _, hours := w.walk((&designer{task}).moved(a.Programme, -1)); hours < 1.03*limit {
			t.Errorf("%s: the canary passes: 1 K shallower takes %g h, the limit is %g h", name, hours, limit)
		}
	}
}

// bestHold is the hours of the deepest hold that keeps to the strays.
func (w *world) bestHold(t *Task) (hours float64) {
	low, high := 1.0, 30.0
	for range 12 {
		u := (low + high) / 2
		strays, h := w.walk([]Point{{}, {u / t.FirstKPerH, u}})
		if strays > t.mostStrays() {
			high = u
		} else {
			low, hours = u, h
		}
	}
	return hours
}

// TestLimitOfAnUnchangingBody: where the liquid stays what it is until the body is full, no moment
// differs from another, so the best way is a hold at u with v I(u) L/R(u) = Λ. The search may be
// off by a level of 0.19 K. Canary: a volume twice as large.
func TestLimitOfAnUnchangingBody(t *testing.T) {
	w := &world{length: 11, volume: 3600, exponent: 1.9, hazard: barrier}
	task := w.task(0.95)
	hold := func(volume float64) float64 {
		low, high := 1.0, 30.0
		for range 60 {
			u := (low + high) / 2
			if volume*barrier(u)*w.length/w.rate(u) > task.mostStrays() {
				high = u
			} else {
				low = u
			}
		}
		return low
	}
	found := w.ideal(task)
	middle := found.under[parts/2]
	if u := hold(w.volume); math.Abs(middle-u) > task.DeepestK/levels {
		t.Errorf("held at %g K, wanted %g K", middle, u)
	}
	if u := hold(2 * w.volume); math.Abs(middle-u) < task.DeepestK/levels {
		t.Errorf("the canary passes: %g K and %g K", middle, u)
	}
}

func TestNothingToAdvise(t *testing.T) {
	for _, c := range []struct {
		change func(*Task)
		says   string
	}{
		{func(t *Task) { t.Chance = 1 }, "chance 1: wanted above 0 and below 1"},
		{func(t *Task) { t.Chance = math.NaN() }, "chance NaN"},
		{func(t *Task) { t.ToleranceK = -1 }, "tolerance -1 K"},
		{func(t *Task) { t.ToleranceK = 30 }, "less than the deepest undercooling of 30 K"},
		{func(t *Task) { t.FirstKPerH = 0 }, "rate of cooling to the first stage"},
		{func(t *Task) { t.ToleranceK = 15 }, "ask for a smaller tolerance or chance"},
		{func(t *Task) { t.Chance = 1 - 1e-15 }, "no programme was found with a chance of"},
		{func(t *Task) { t.Try = func([]Point) Outcome { return Outcome{FullH: math.Inf(1)} } },
			"never becomes solid"},
	} {
		task := gentle().task(0.95)
		c.change(task)
		if _, err := Design(task); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%v, wanted %q", err, c.says)
		}
	}
}

// TestWithoutStrays: nothing speaks against the deepest undercooling.
func TestWithoutStrays(t *testing.T) {
	w := puck()
	w.hazard = func(float64) float64 { return 0 }
	a := designed(t, w.task(0.95))
	if a.Programme[1].UndercoolingK != 30 || a.in(0).Chance != 1 || a.in(2).Chance != 1 {
		t.Errorf("%+v", a)
	}
}
