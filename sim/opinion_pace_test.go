package sim_test

import (
	"math"
	"sort"

	"onegrain/sim/furnace"
	"onegrain/sim/kinetics"
)

// pace is how fast faces advance, where and when. Of the engine's parts it uses the rate of a law
// and the knots of a programme; all integrals are its own, numeric ones.
type pace struct {
	rates  [2][]float64 // of a and c faces, mm/h, every paceK kelvin
	knots  []furnace.Knot
	offset func(at [3]float64) float64 // K above the programme; nil where all places are alike
	holes  bool                        // straight ways count as well
	hours  []float64                   // with the lengths grown by then (mm) where the programme reigns
	grown  [2][]float64
}

const paceK = 0.01

func newPace(a, c kinetics.Law, p furnace.Programme, offset func([3]float64) float64) *pace {
	m := &pace{knots: p.GrowthKnots(), offset: offset}
	most := 0.0
	for _, k := range m.knots {
		most = math.Max(most, k.UndercoolingK)
	}
	for l, law := range [2]kinetics.Law{a, c} {
		for u := 0.0; u < most+25; u += paceK {
			m.rates[l] = append(m.rates[l], law.Rate(u))
		}
	}
	m.hours, m.grown = []float64{m.knots[0].TimeH}, [2][]float64{{0}, {0}}
	for i, k := range m.knots[1:] {
		const parts = 1024
		for n := 1; n <= parts; n++ {
			f := func(x float64) float64 {
				return m.knots[i].UndercoolingK + (k.UndercoolingK-m.knots[i].UndercoolingK)*x/parts
			}
			dt := (k.TimeH - m.knots[i].TimeH) / parts
			m.hours = append(m.hours, m.hours[len(m.hours)-1]+dt)
			for l := range m.grown {
				mean := m.rate(l, f(float64(n)-1))/6 + m.rate(l, f(float64(n)-0.5))*4/6 + m.rate(l, f(float64(n)))/6
				m.grown[l] = append(m.grown[l], m.grown[l][len(m.grown[l])-1]+mean*dt)
			}
		}
	}
	return m
}

func (m *pace) rate(l int, undercoolingK float64) float64 {
	if undercoolingK <= 0 {
		return 0
	}
	x := undercoolingK / paceK
	i := min(int(x), len(m.rates[l])-2)
	return m.rates[l][i] + (x-float64(i))*(m.rates[l][i+1]-m.rates[l][i])
}

func between(x, from []float64, v float64) float64 {
	i := sort.SearchFloat64s(x, v)
	if i == 0 {
		return from[0]
	}
	return from[i-1] + (from[i]-from[i-1])*(v-x[i-1])/(x[i]-x[i-1])
}

// length is what a face grows until an hour, when the inverse (+Inf after the programme's end); at
// places as warm as the programme.
func (m *pace) length(l int, hour float64) float64 {
	return between(m.hours, m.grown[l], math.Min(hour, m.end()))
}

func (m *pace) when(l int, length float64) float64 {
	if length > m.grown[l][len(m.grown[l])-1] {
		return math.Inf(1)
	}
	return between(m.grown[l], m.hours, length)
}

func (m *pace) end() float64 { return m.hours[len(m.hours)-1] }

// undercooling is that of the programme, with its slope (K/h) and the hour until which that holds.
func (m *pace) undercooling(hour float64) (u, slope, until float64) {
	for i, b := range m.knots[1:] {
		if a := m.knots[i]; hour < b.TimeH {
			slope = (b.UndercoolingK - a.UndercoolingK) / (b.TimeH - a.TimeH)
			return a.UndercoolingK + slope*(hour-a.TimeH), slope, b.TimeH
		}
	}
	return m.knots[len(m.knots)-1].UndercoolingK, 0, m.end()
}

// advance is the hour at which a face that stands at a place of this offset has moved on by so
// much, and what both kinds of faces move there meanwhile.
func (m *pace) advance(l int, offset, hour, distance float64) (at float64, gone [2]float64) {
	for hour < m.end() {
		u, slope, until := m.undercooling(hour)
		u -= offset
		dt := until - hour
		if slope != 0 {
			dt = math.Min(dt, (0.05*math.Abs(u)+0.01)/math.Abs(slope))
		}
		rate := m.rate(l, u+slope*dt/2)
		last := rate*dt >= distance-gone[l]
		if last {
			d := (distance - gone[l]) / math.Max(rate, 1e-300)
			dt = math.Min(dt, (distance-gone[l])/math.Max(m.rate(l, u+slope*d/2), 1e-300))
		}
		for f := range gone {
			gone[f] += m.rate(f, u+slope*dt/2) * dt
		}
		if hour += dt; last {
			return hour, gone
		}
	}
	return math.Inf(1), gone
}

// legParts is into how many parts the longest leg is cut.
const legParts = 12

// leg is the quickest simple motion from one point to another: each crystal axis goes at a constant
// share of the speed of its own face, the slowest axis, which decides the hour and the sector, at
// all of it. Where temperature depends on place it is found by repetition (each looks at the way of
// the last).
type leg struct {
	axes     *[9]float64
	from     [3]float64
	d        [3]float64 // along the crystal's axes, mm
	parts    int
	share    [2][legParts + 1]float64 // of the way along a and b, and along c
	hours    [legParts + 1]float64
	axis     int     // that decides
	slack    float64 // mm by which the next face is ahead of the one that decides
	straight float64 // the hour of arrival along the straight line
}

func along(axes *[9]float64, v [3]float64) (d [3]float64) {
	for i := range d {
		d[i] = axes[3*i]*v[0] + axes[3*i+1]*v[1] + axes[3*i+2]*v[2]
	}
	return d
}

func minus(a, b [3]float64) [3]float64 { return [3]float64{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }

// at is the point after so many parts of the leg, fractions as well.
func (g *leg) at(part float64, straight bool) (p [3]float64) {
	k := min(int(part), g.parts-1)
	for i := range p {
		s := part / float64(g.parts)
		if w := &g.share[i/2]; !straight {
			s = w[k] + (part-float64(k))*(w[k+1]-w[k])
		}
		for x := range p {
			p[x] += g.d[i] * s * g.axes[3*i+x]
		}
	}
	return [3]float64{g.from[0] + p[0], g.from[1] + p[1], g.from[2] + p[2]}
}

// face numbers +a −a +b −b +c −c.
func (g *leg) face() int {
	if g.d[g.axis] < 0 {
		return 2*g.axis + 1
	}
	return 2 * g.axis
}

// need is the longer way along a and b, and that along c.
func (g *leg) need() (n [2]float64, axis int) {
	if math.Abs(g.d[1]) > math.Abs(g.d[0]) {
		axis = 1
	}
	return [2]float64{math.Abs(g.d[axis]), math.Abs(g.d[2])}, axis
}

// spare works out the slack of a leg whose next face needs this share of the hours.
func (g *leg) spare(need, share float64) {
	g.slack = need * (1 - share)
	if g.axis < 2 {
		g.slack = math.Min(g.slack, need-math.Abs(g.d[1-g.axis]))
	}
}

// time sets out a leg at an hour and gives the hour of its end.
func (m *pace) time(g *leg, hour, cellMM float64) float64 {
	need, axis := g.need()
	total := math.Abs(g.d[0]) + math.Abs(g.d[1]) + math.Abs(g.d[2])
	if total == 0 {
		g.parts, g.share, g.axis, g.straight = 1, [2][legParts + 1]float64{}, axis, hour
		g.hours = [legParts + 1]float64{hour, hour}
		return hour
	}
	g.parts = min(legParts, 2+int(total/cellMM))
	if m.offset == nil {
		return m.timeUniform(g, need, axis, hour)
	}
	return m.timeField(g, need, axis, hour)
}

func (m *pace) timeUniform(g *leg, need [2]float64, axis int, hour float64) float64 {
	var ends [2]float64
	for l := range need {
		ends[l] = m.when(l, m.length(l, hour)+need[l])
	}
	l := 0
	if g.axis = axis; ends[1] > ends[0] {
		l, g.axis = 1, 2
	}
	g.hours[0], g.hours[g.parts] = hour, ends[l]
	g.spare(need[l], (ends[1-l]-hour)/(ends[l]-hour))
	return ends[l]
}

// lay lays the way of a leg in a uniform field, and finds the hour of the straight one.
func (m *pace) lay(g *leg) {
	var begin [2]float64
	first, last := g.hours[0], g.hours[g.parts]
	for l := range begin {
		begin[l] = m.length(l, first)
	}
	need, _ := g.need()
	g.straight = first
	for k := 1; k <= g.parts; k++ {
		g.hours[k] = first + (last-first)*float64(k)/float64(g.parts)
		s := g.straight
		for l := range need {
			g.share[l][k] = 1
			if all := m.length(l, last) - begin[l]; all > 0 {
				g.share[l][k] = (m.length(l, g.hours[k]) - begin[l]) / all
			}
			g.straight = math.Max(g.straight, m.when(l, m.length(l, s)+need[l]/float64(g.parts)))
		}
	}
}

func (m *pace) timeField(g *leg, need [2]float64, axis int, hour float64) float64 {
	for k := range g.parts + 1 {
		g.share[0][k] = float64(k) / float64(g.parts)
		g.share[1][k] = g.share[0][k]
	}
	l := 0
	for pass := 0; ; pass++ {
		var gone [2][legParts + 1]float64 // what the faces could have moved
		g.hours[0] = hour
		straight := hour
		for k := range g.parts {
			d := m.offset(g.at(float64(k)+0.5, false))
			next, moved := m.advance(l, d, g.hours[k], need[l]*(g.share[l][k+1]-g.share[l][k]))
			if math.IsInf(next, 1) {
				g.straight = next
				return next
			}
			for f := range gone {
				gone[f][k+1] = gone[f][k] + moved[f]
			}
			g.hours[k+1] = next
			if pass == 0 && m.holes {
				a, _ := m.advance(0, d, straight, need[0]/float64(g.parts))
				c, _ := m.advance(1, d, straight, need[1]/float64(g.parts))
				straight = math.Max(a, c)
			}
		}
		if pass == 0 {
			g.straight = straight
		}
		lack := need[1-l] / math.Max(gone[1-l][g.parts], 1e-300)
		if pass >= 2 || pass == 1 && lack <= 1 {
			if g.axis = axis; l == 1 {
				g.axis = 2
			}
			g.spare(need[l], math.Min(1, lack))
			return hour + (g.hours[g.parts]-hour)*math.Max(1, lack) // both within a hair of one another
		}
		for f := range gone {
			for k := range g.parts + 1 {
				if gone[f][g.parts] > 0 {
					g.share[f][k] = gone[f][k] / gone[f][g.parts]
				}
			}
		}
		if lack > 1 {
			l = 1 - l
		}
	}
}
