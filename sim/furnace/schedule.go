package furnace

import "math"

type stageKind uint8

// What a stage may aim at.
const (
	ToTemperature  stageKind = iota // ToC at RateKPerH
	ToUndercooling                  // ToUndercoolingK below the peritectic temperature, at RateKPerH
	Hold                            // stays for HoldH
)

// Stage is one line of a schedule. RateKPerH > 0 is the speed of heating or cooling, whichever
// leads to the target; a target equal to the present temperature takes no time. Only the fields of
// the Kind count: °C, K, K/h, h.
type Stage struct {
	ToC, ToUndercoolingK, RateKPerH, HoldH float64
	Kind                                   stageKind
}

// Schedule is a furnace programme as a person writes it: from StartC (°C) through the stages.
// SlackK is by how much it may melt again what had solidified without that being meant: readings of
// a controller scatter.
type Schedule struct {
	StartC float64
	Stages []Stage
	SlackK float64
}

// Programme is the schedule as undercooling below a peritectic temperature in °C. Stages that take
// no time leave no knot; a schedule that takes no time at all gives two equal knots at 0 h.
func (s Schedule) Programme(peritecticC float64) Programme {
	knots := []Knot{{0, peritecticC - s.StartC}}
	for _, stage := range s.Stages {
		if next := stage.after(knots[len(knots)-1], peritecticC); next.TimeH > knots[len(knots)-1].TimeH {
			knots = append(knots, next)
		}
	}
	if len(knots) == 1 {
		knots = append(knots, knots[0])
	}
	return Programme{knots}
}

// after is the knot at the end of the stage.
func (s Stage) after(k Knot, peritecticC float64) Knot {
	target := s.ToUndercoolingK
	switch s.Kind {
	case Hold:
		return Knot{k.TimeH + math.Max(0, s.HoldH), k.UndercoolingK}
	case ToTemperature:
		target = peritecticC - s.ToC
	}
	if target == k.UndercoolingK {
		return k
	}
	return Knot{k.TimeH + math.Abs(target-k.UndercoolingK)/math.Abs(s.RateKPerH), target}
}
