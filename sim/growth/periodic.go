package growth

// A periodic body has no rim: the neighbours beyond one face are the cells at the opposite face. A
// grain that grows across goes on with an image of its box, the same box about an origin one body
// further on. Owners stay the grain's.

// PeriodicMultiple is what the number of cells along each axis of a periodic body must be a
// multiple of.
func PeriodicMultiple(plane bool) int {
	if plane {
		return 8
	}
	return 4
}

type image struct {
	grain int32
	shift [3]int8
}

// wrap is the block a step away in a periodic body and how many bodies further on it was met.
func (l *lattice) wrap(b uint32, step [3]int8) (uint32, [3]int8) {
	x, y, z := l.corner(b)
	at := [3]int{x, y, z}
	var shift [3]int8
	for a := range at {
		at[a] += int(step[a]) << l.shift[a]
		if n := l.grid.N[a]; at[a] < 0 {
			at[a], shift[a] = at[a]+n, -1
		} else if at[a] >= n {
			at[a], shift[a] = at[a]-n, 1
		}
	}
	return l.number(at[0], at[1], at[2]) >> 6, shift
}

// offerAcross offers a cell met beyond a face to the image of box id.
func (s *front) offerAcross(c *candidate, id uint32, now float32) {
	b := &s.boxes[id]
	shift := c.shift
	for a, d := range s.shifts[b.frame] {
		shift[a] += d
	}
	root, image := b.root, s.imageOf(b.grain, shift)
	if root {
		s.offer(c, image, now)
		return
	}
	n := s.newBox(id)
	s.boxes[n].frame = s.boxes[image].frame
	s.offer(c, n, now)
	s.release(n)
}

// imageOf is the root box of a grain's image, made when first met.
func (s *front) imageOf(grain int32, shift [3]int8) uint32 {
	own := s.grains[grain].box
	if shift == [3]int8{} {
		return own
	}
	k := image{grain, shift}
	id, ok := s.images[k]
	if !ok {
		r := &s.grains[grain].root
		at := r.At
		for a, n := range s.grid.N {
			at[a] -= float64(int(shift[a]) * n)
		}
		b := s.boxes[own]
		b.frame, id = int32(len(s.frames)), uint32(len(s.boxes))
		s.addFrame(newFrame(r.Axes, at), shift)
		s.boxes = append(s.boxes, b)
		if s.images == nil {
			s.images = map[image]uint32{}
		}
		s.images[k] = id
	}
	return id
}

func (s *front) addFrame(f frame, shift [3]int8) {
	s.frames, s.shifts = append(s.frames, f), append(s.shifts, shift)
}
