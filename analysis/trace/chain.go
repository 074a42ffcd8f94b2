package trace

import "slices"

// Chains joins segments end to end into the longest lines (see [Join]), without the points on the
// straight way between their neighbours.
func Chains(segments [][2][2]float64) [][][2]float64 {
	lines := Join(segments)
	for i, line := range lines {
		lines[i] = straightened(line)
	}
	return lines
}

// Join joins segments end to end into the longest lines, in the order of the segments; a closed
// line ends where it began, and where more than two segments meet all of them end. Ends match only
// where they are equal, for places: the same numbers.
func Join[P comparable](segments [][2]P) (lines [][]P) {
	ends := make(map[P][]int, len(segments)) // only looked up, never walked through
	for i, s := range segments {
		ends[s[0]] = append(ends[s[0]], i)
		ends[s[1]] = append(ends[s[1]], i)
	}
	used := make([]bool, len(segments))
	grow := func(line []P) []P { // carries a line on as long as exactly one way leads on
		for {
			last := line[len(line)-1]
			here := ends[last]
			if len(here) != 2 {
				return line
			}
			next := here[0]
			if used[next] {
				next = here[1]
			}
			if used[next] {
				return line
			}
			used[next] = true
			if s := segments[next]; s[0] == last {
				line = append(line, s[1])
			} else {
				line = append(line, s[0])
			}
		}
	}
	for i, s := range segments {
		if used[i] {
			continue
		}
		used[i] = true
		back := grow([]P{s[1], s[0]})
		slices.Reverse(back)
		lines = append(lines, grow(back))
	}
	return lines
}

// straightened drops the points on a straight way.
func straightened(line [][2]float64) [][2]float64 {
	out := line[:1:1]
	for _, p := range line[1:] {
		if n := len(out); n > 1 && turn(out[n-2], out[n-1], p) == 0 {
			out[n-1] = p
			continue
		}
		out = append(out, p)
	}
	return out
}

// turn is the cross product of the ways a → b and b → c: 0 on a straight line.
func turn(a, b, c [2]float64) float64 {
	return (b[0]-a[0])*(c[1]-b[1]) - (b[1]-a[1])*(c[0]-b[0])
}
