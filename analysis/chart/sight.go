package chart

import "onegrain/analysis/chart/scale"

// area is what a shade is painted on.
type area uint8

const (
	anyArea area = iota
	seededArea
	strayArea
	liquidArea
)

// sign is something on a picture that its legend explains: a shade on an area, or a line.
type sign struct {
	area  area
	shade shade
	line  lineKind
}

// sight is all that is seen on a picture.
type sight map[sign]bool

// note takes in cell (u, v) of a view.
func (k *picture) note(s sight, p *view, u, v int) {
	switch g := p.grain(u, v); {
	case g == outside:
	case g == liquid:
		s[sign{area: liquidArea}] = true
	default:
		c := k.shade(p, u, v)
		s[sign{shade: c}] = true
		if p.stray(g) {
			s[sign{area: strayArea, shade: c}] = true
		} else {
			s[sign{area: seededArea, shade: c}] = true
		}
	}
}

// look finds the lines of the views, and what is seen on them.
func (k *picture) look(shown []*view) sight {
	s := sight{}
	k.lines = nil
	for _, p := range shown {
		for v := range p.nv {
			for u := range p.nu {
				if u == 0 || k.label(p, u, v) != k.label(p, u-1, v) { // else it is painted as the one before
					k.note(s, p, u, v)
				}
			}
		}
		k.lines = append(k.lines, k.borders(p))
		for kind, list := range k.lines[len(k.lines)-1] {
			if len(list) > 0 {
				s[sign{line: lineKind(kind)}] = true
			}
		}
		for _, level := range k.contours {
			if len(contour(p, level)) > 0 {
				s[sign{line: contourLine}] = true
			}
		}
	}
	return s
}

// explain leaves in the legend what is seen, and adds contours and marks.
func (k *picture) explain(s sight, clear Disc) {
	all := append(k.legend, entry{line: contourLine, text: "equal arrival time"}, entry{line: seedPatch, text: "seed"},
		entry{line: clearRim, text: "clear piece, " + scale.Number(clear.DiameterMM, 1) + " mm"})
	k.legend = nil
	for _, e := range all {
		var painted []shade
		for _, c := range e.shades {
			if s[sign{area: e.area, shade: c}] {
				painted = append(painted, c)
			}
		}
		e.shades = painted
		liquid, line := sign{area: liquidArea}, sign{line: e.line}
		if len(painted) > 0 || e.area == liquidArea && s[liquid] || e.line != noLine && s[line] {
			k.legend = append(k.legend, e)
		}
	}
	if !k.byAngle {
		return
	}
	for n := range angleClasses {
		if s[sign{line: angled + lineKind(n)}] {
			return
		}
	}
	k.scale = nil // no border has a colour
}
