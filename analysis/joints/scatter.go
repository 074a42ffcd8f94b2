package joints

import (
	"fmt"
	"math"

	"onegrain/analysis/tally"
)

// Scatter tells what placing does to the joints, for all runs with two seeded grains or more.
type Scatter struct {
	All      Placing   `json:"all"`
	Cases    []Placing `json:"cases"` // with such runs, in the order of the study; none where there are too many
	Sentence string    `json:"sentence"`
	Warnings []string  `json:"warnings,omitempty"`
}

// Placing is the scatter over the runs of one case, or over all.
type Placing struct {
	Case       int            `json:"case"` // index; −1 for all
	Runs       int            `json:"runs"` // with two seeded grains or more
	WorstDeg   tally.Spread   `json:"worst_disorientation_deg"`
	WorstTilt  tally.Spread   `json:"worst_c_axis_angle_deg"`
	Current    tally.Spread   `json:"worst_current_share"`   // of the critical current, through the worst boundary
	Largest    tally.Spread   `json:"largest_domain_share"`  // of the solid volume
	Joined     int            `json:"joined_runs"`           // every boundary between seeded grains is low-angle
	JoinShare  tally.Interval `json:"joined_share_interval"` // 95 %
	Apart      tally.Spread   `json:"boundaries_beyond_join_deg"`
	Untouching int            `json:"runs_without_such_boundary"` // seeded grains that never met
	Sentence   string         `json:"sentence"`
}

const (
	mostCases = 200
	fewRuns   = 20 // with fewer the ends of a distribution say little
)

// Scatter sums up the runs with two seeded grains or more; nil where there are none.
func (c *Collector) Scatter() *Scatter {
	by := map[int32][]run{}
	var order []int32
	var all []run // that sums are over
	cases := map[int32]bool{}
	for _, r := range c.runs {
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
	out := &Scatter{All: c.placing(-1, all), Cases: []Placing{}}
	if len(order) > mostCases {
		out.Warnings = append(out.Warnings, fmt.Sprintf("%d cases are too many to list one by one", len(order)))
		order = nil
	}
	for _, of := range order {
		p := c.placing(int(of), by[of])
		out.Cases = append(out.Cases, p)
		if p.Runs < fewRuns && len(out.Warnings) == 0 {
			text := fmt.Sprintf("a case has %s: the ends of a distribution need %d or more", runs(p.Runs), fewRuns)
			out.Warnings = append(out.Warnings, text)
		}
	}
	out.All.Sentence = out.All.sentence(len(cases))
	out.Sentence = out.All.Sentence
	return out
}

func (c *Collector) placing(of int, runs []run) Placing {
	p := Placing{Case: of, Runs: len(runs)}
	var worst, tilt, current, largest, apart []float64
	for _, r := range runs {
		largest = append(largest, r.largest/r.solid) // NaN where nothing is solid
		if r.joints == 0 {
			p.Untouching++
			continue
		}
		worst, tilt, current = append(worst, r.worst), append(tilt, r.tilt), append(current, c.law.Share(r.worst))
		apart = append(apart, float64(r.apart))
		if r.apart == 0 {
			p.Joined++
		}
	}
	p.JoinShare = tally.Share(float64(p.Joined), float64(len(worst)))
	angles := func(x []float64) tally.Spread { // in bins up to a whole number of 5°
		high := 1.0
		for _, v := range x {
			high = math.Max(high, math.Ceil(v/5))
		}
		return tally.SpreadOf(x, 0, 5*high, 20)
	}
	p.WorstDeg, p.WorstTilt = angles(worst), angles(tilt)
	p.Current, p.Largest = tally.SpreadOf(current, 0, 1, 20), tally.SpreadOf(largest, 0, 1, 20)
	p.Apart = tally.SpreadOf(apart, 0, 0, 0)
	p.Sentence = p.sentence(1)
	return p
}

const (
	joinedText = "In %d of %s%s every boundary between seeded grains is low-angle (%.0f %%, 95 %% interval %.0f to " +
		"%.0f %%). "
	worstText = "The worst boundary of a run has %.1f° in the median and %.1f° in one run of ten or more; " +
		"the largest domain holds %.0f %% of the body in the median."
)

func (p Placing) sentence(cases int) string {
	n := p.Runs - p.Untouching
	if n == 0 {
		return fmt.Sprintf("Two seeded grains meet in none of %s.", runs(p.Runs))
	}
	over := ""
	if cases > 1 {
		over = fmt.Sprintf(" of %d cases", cases)
	}
	low, high := 100*float64(p.JoinShare.Low), 100*float64(p.JoinShare.High)
	return fmt.Sprintf(joinedText, p.Joined, runs(n), over, 100*float64(p.Joined)/float64(n), low, high) +
		fmt.Sprintf(worstText, p.WorstDeg.Median, p.WorstDeg.P90, 100*p.Largest.Median)
}

func runs(n int) string {
	if n == 1 {
		return "1 run"
	}
	return fmt.Sprintf("%d runs", n)
}
