package joints

import (
	"fmt"
	"math"

	"onegrain/analysis/tally"
)

// Scatter tells what placing does to the joints, for all runs with two seeded grains or more.
type Scatter struct {
	All      Placing   `json:"all"`
	Cases    []Placing `json:"cases"` // those with such runs, in the order of the study; none where there are too many
	Sentence string    `json:"sentence"`
	Warnings []string  `json:"warnings,omitempty"`
}

// Placing is the scatter over the runs of one case, or over all.
type Placing struct {
	Case       int            `json:"case"` // index; −1 for all
	Runs       int            `json:"runs"` // with two seeded grains or more
	WorstDeg   tally.Spread   `json:"worst_disorientation_deg"`
	WorstTilt  tally.Spread   `json:"worst_c_axis_angle_deg"`
	Current    tally.Spread   `json:"worst_current_share"`   // share of the critical current that the worst boundary passes
	Largest    tally.Spread   `json:"largest_domain_share"`  // of the solid volume
	Joined     int            `json:"joined_runs"`           // every boundary between seeded grains is low-angle
	JoinShare  tally.Interval `json:"joined_share_interval"` // 95 %
	Apart      tally.Spread   `json:"boundaries_beyond_join_deg"`
	Untouching int            `json:"runs_without_such_boundary"` // seeded grains that never met
	Sentence   string         `json:"sentence"`
}

const (
	mostCases = 200
	someRuns  = 20
)

// Scatter sums up the runs with two seeded grains or more; nil where there are none.
func (b *Book) Scatter() *Scatter {
	by := map[int32][]*run{}
	var order []int32
	var all []*run // that sums are over
	cases := map[int32]bool{}
	for i := range b.runs {
		r := &b.runs[i]
		if r.seeds < 2 {
			continue
		}
		if by[r.of] == nil {
			order = append(order, r.of)
		}
		if by[r.of] = append(by[r.of], r); r.alike {
			all, cases[r.of] = append(all, r), true
		}
	}
	if len(order) == 0 {
		return nil
	}
	out := &Scatter{All: b.placing(-1, all), Cases: []Placing{}}
	if len(order) > mostCases {
		out.Warnings = append(out.Warnings, fmt.Sprintf("%d cases are too many to tell one by one", len(order)))
		order = nil
	}
	for _, of := range order {
		p := b.placing(int(of), by[of])
		out.Cases = append(out.Cases, p)
		if p.Runs < someRuns && len(out.Warnings) == 0 {
			out.Warnings = append(out.Warnings, fmt.Sprintf("a case has %s: the ends of a distribution want %d or more", runs(p.Runs), someRuns))
		}
	}
	out.All.Sentence = out.All.sentence(len(cases))
	out.Sentence = out.All.Sentence
	return out
}

func (b *Book) placing(of int, runs []*run) Placing {
	p := Placing{Case: of, Runs: len(runs)}
	var worst, tilt, current, largest, apart []float64
	touching := 0
	for _, r := range runs {
		largest = append(largest, r.largest/r.solid) // NaN where nothing is solid
		if r.joints == 0 {
			p.Untouching++
			continue
		}
		touching++
		worst, tilt, current, apart = append(worst, r.worst), append(tilt, r.tilt), append(current, b.law.Share(r.worst)), append(apart, float64(r.apart))
		if r.apart == 0 {
			p.Joined++
		}
	}
	p.JoinShare = tally.Share(float64(p.Joined), float64(touching))
	top := func(x []float64, step float64) float64 {
		high := step
		for _, v := range x {
			high = math.Max(high, step*math.Ceil(v/step))
		}
		return high
	}
	p.WorstDeg = tally.SpreadOf(worst, 0, top(worst, 5), 20)
	p.WorstTilt = tally.SpreadOf(tilt, 0, top(tilt, 5), 20)
	p.Current = tally.SpreadOf(current, 0, 1, 20)
	p.Largest = tally.SpreadOf(largest, 0, 1, 20)
	p.Apart = tally.SpreadOf(apart, 0, 0, 0)
	p.Sentence = p.sentence(1)
	return p
}

func (p Placing) sentence(cases int) string {
	n := p.Runs - p.Untouching
	if n == 0 {
		return fmt.Sprintf("Two seeded grains meet in none of %s.", runs(p.Runs))
	}
	over := ""
	if cases > 1 {
		over = fmt.Sprintf(" of %d cases", cases)
	}
	return fmt.Sprintf("In %d of %s%s every boundary between seeded grains is low-angle (%.0f %%, 95 %% interval %.0f to %.0f %%). The worst boundary of a run has %.1f° in the median and %.1f° in one run of ten or more; "+
		"the largest domain holds %.0f %% of the body in the median.", p.Joined, runs(n), over, 100*float64(p.Joined)/float64(n), 100*float64(p.JoinShare.Low), 100*float64(p.JoinShare.High),
		float64(p.WorstDeg.Median), float64(p.WorstDeg.P90), 100*float64(p.Largest.Median))
}

func runs(n int) string {
	if n == 1 {
		return "1 run"
	}
	return fmt.Sprintf("%d runs", n)
}
