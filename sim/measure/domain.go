package measure

// join makes domains of the seeded grains: touching ones at a low angle are one, and so on through
// further grains.
func (s *Survey) join() {
	parent := make([]int, s.seeded)
	for g := range parent {
		parent[g] = g
	}
	root := func(g int) int {
		for parent[g] != g {
			g = parent[g]
		}
		return g
	}
	for _, p := range s.contacts.pairs() {
		if p.b < s.seeded && s.grains[p.a].Orientation.DisorientationDeg(s.grains[p.b].Orientation) <= s.joinDeg {
			a, b := root(p.a), root(p.b)
			parent[max(a, b)] = min(a, b)
		}
	}
	s.domains = make([]int, s.seeded)
	var size []int
	for g := range parent {
		if r := root(g); r < g {
			s.domains[g] = s.domains[r]
		} else {
			s.domains[g], size = len(size), append(size, 0)
		}
		size[s.domains[g]] += s.size(g)
	}
	s.largest = -1
	for d, n := range size { // the earlier one of equals
		if n > s.largestCells {
			s.largest, s.largestCells = d, n
		}
	}
}

// largestGrain is the largest grain of the largest domain, -1 without one.
func (s *Survey) largestGrain() int {
	best := -1
	for g, d := range s.domains {
		if d == s.largest && (best < 0 || s.size(g) > s.size(best)) {
			best = g
		}
	}
	return best
}

// filled tells whether one domain is all there is in the body: no liquid, no stray, no other
// domain.
func (s *Survey) filled() bool { return s.largestCells > 0 && s.largestCells == s.body() }
