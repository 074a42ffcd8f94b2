package magnet

import (
	"cmp"
	"math"
	"slices"
)

// move is a straight part of a way across a strip, from one corner of cells to another.
type move struct {
	dx, dy  int
	length  float64    // in cells
	flights [][][2]int // the flights of steps along cells that stand for it: near the line, and never back
}

// aside is how far steps may lie from the straight line, in cells: those of a line at 45° do by
// 0.71.
const aside = 0.75

// moves are all straight moves of up to reach cells each way that are not two shorter ones. With
// reach 1 only the four steps.
func moves(reach int) []move {
	var all []move
	for dy := -reach; dy <= reach; dy++ {
		for dx := -reach; dx <= reach; dx++ {
			step := abs(dx)+abs(dy) == 1
			if common(abs(dx), abs(dy)) != 1 || reach == 1 && !step {
				continue
			}
			m := move{dx: dx, dy: dy, length: math.Hypot(float64(dx), float64(dy))}
			m.climb(0, 0, nil)
			all = append(all, m)
		}
	}
	return all
}

// climb finds the flights that go on from (x, y) after the steps done.
func (m *move) climb(x, y int, done [][2]int) {
	if x == m.dx && y == m.dy {
		m.flights = append(m.flights, slices.Clone(done))
		return
	}
	for _, s := range [][2]int{{cmp.Compare(m.dx, 0), 0}, {0, cmp.Compare(m.dy, 0)}} {
		p, q := x+s[0], y+s[1]
		if s == [2]int{} || abs(p) > abs(m.dx) || abs(q) > abs(m.dy) || float64(abs(p*m.dy-q*m.dx)) > aside*m.length {
			continue
		}
		m.climb(p, q, append(done, s))
	}
}

func abs(x int) int { return max(x, -x) }

// common is the greatest common divisor.
func common(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
