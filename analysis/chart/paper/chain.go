package paper

// Chains joins segments end to end into the longest lines, in the order of the segments; a closed line ends where it
// began. Ends match only where they are the same numbers, which holds for all lines made here.
func Chains(segments [][2][2]float64) [][][2]float64 {
	ends := make(map[[2]float64][]int, len(segments)) // only looked up, never walked through
	for i, s := range segments {
		ends[s[0]] = append(ends[s[0]], i)
		ends[s[1]] = append(ends[s[1]], i)
	}
	used := make([]bool, len(segments))
	var lines [][][2]float64
	for i, s := range segments {
		if used[i] {
			continue
		}
		used[i] = true
		back := grown([][2]float64{s[1], s[0]}, segments, ends, used)
		for l, r := 0, len(back)-1; l < r; l, r = l+1, r-1 {
			back[l], back[r] = back[r], back[l]
		}
		lines = append(lines, straightened(grown(back, segments, ends, used)))
	}
	return lines
}

// grown carries a line on from its last [2]float64 as long as exactly one way leads on.
func grown(line [][2]float64, segments [][2][2]float64, ends map[[2]float64][]int, used []bool) [][2]float64 {
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
		s := segments[next]
		if s[0] == last {
			line = append(line, s[1])
		} else {
			line = append(line, s[0])
		}
	}
}

// straightened drops the points that lie on the straight way between their neighbours.
func straightened(line [][2]float64) [][2]float64 {
	out := line[:1:1]
	for i := 1; i < len(line); i++ {
		if n := len(out); n > 1 && i > 0 && turn(out[n-2], out[n-1], line[i]) == 0 {
			out[n-1] = line[i]
			continue
		}
		out = append(out, line[i])
	}
	return out
}

// turn is the cross product of the ways a → b and b → c: 0 on a straight line.
func turn(a, b, c [2]float64) float64 {
	return (b[0]-a[0])*(c[1]-b[1]) - (b[1]-a[1])*(c[0]-b[0])
}
