package studies

import (
	"fmt"
	"math/bits"
	"strings"
)

// Notes are what of the axes and the design is harmless, but perhaps not what was meant.
func (s *Study) Notes() (all []string) {
	g := s.design
	if g.spread != nil && g.kind != "latin" && bits.OnesCount(uint(g.spread.points)) != 1 {
		below := 1 << (bits.Len(uint(g.spread.points)) - 1)
		all = append(all, fmt.Sprintf("a Sobol sequence is most even where the number of points is a power of two: take points = %d or %d rather than %d", below, 2*below, g.spread.points))
	}
	for _, a := range g.axes {
		if a.ofMelt() && !a.unknown {
			all = append(all, fmt.Sprintf(`%s is varied as if it could be chosen, though no furnace sets it: with role = "unknown" in its [[vary]] results are averaged over it`, a.key))
		}
		if stages := s.undercooled(); a.key == "material.peritectic_C" && len(stages) > 0 {
			all = append(all, fmt.Sprintf("%s is varied while stages are told in undercooling (%s): their temperatures move along with it, so every case has the same undercooling there and none tells "+
				"what becomes of a furnace that is set for another peritectic temperature than the true one; tell these stages by to_C for that", a.key, strings.Join(stages, ", ")))
		}
	}
	return all
}

// ofMelt tells whether a key is a property of the melt, which is as it is.
func (a axis) ofMelt() bool {
	return strings.HasPrefix(a.key, "material.") || strings.HasPrefix(a.key, "nucleation.")
}

// undercooled are the stages that are told in undercooling.
func (s *Study) undercooled() (all []string) {
	for i := 1; i <= s.doc.Count("schedule.stage"); i++ {
		if at := fmt.Sprintf("schedule.stage.%d", i); s.doc.Has(at + ".to_undercooling_K") {
			all = append(all, at)
		}
	}
	return all
}

// Unknown are the names of the axes that are merely not known.
func (s *Study) Unknown() (all []string) {
	for _, a := range s.design.axes {
		if a.unknown {
			all = append(all, a.name)
		}
	}
	return all
}
