package studies

import (
	"fmt"
	"slices"
	"strings"

	"onegrain/studies/laws"
	"onegrain/studies/material"
	"onegrain/studies/strict"
)

// Materials is the table behind material.base, in the order in which it is shown.
func Materials() []material.Row { return material.Rows() }

// takeFrom fills in from the base row what the study does not say.
func takeFrom(d *strict.Document) strict.Problems {
	const key = "material.base"
	if !d.Has(key) {
		return nil
	}
	if row, err := material.Find(d.Text(key)); err == nil {
		for _, p := range row.Properties {
			d.Fill(p.Key, p.Value)
		}
		return nil
	}
	rows := strict.Text(key, "")
	for _, m := range material.Rows() {
		rows.Choices = append(rows.Choices, m.Name)
	}
	_, wanted, hint := rows.Take(key, d.Text(key))
	if hint == "" {
		hint = "see `onegrain materials`"
	}
	return d.Problem(key, wanted, hint)
}

// blameBase says of what is missing from the material that its base does not give it either.
func blameBase(d *strict.Document, found strict.Problems) strict.Problems {
	for i, p := range found {
		if strings.HasPrefix(p.Key, "material.") && p.Value == "" && d.Has("material.base") {
			found[i].Hint += fmt.Sprintf("; the row %q does not give it", d.Text("material.base"))
		}
	}
	return found
}

// Laws says in a sentence for each kind of law where those of the study come from: a row of
// materials, or the study itself.
func (s *Study) Laws() (all []string) {
	base, last := s.doc.Text("material.base"), ""
	row, none := material.Find(base)
	if m := s.Melt(); m != nil {
		all = append(all, fmt.Sprintf("Growth and nucleation in the melt: %s, from %.4g to %.4g K of undercooling: %s.",
			s.doc.Text(laws.LawFile), m.LowestK, m.HighestK, m.Told()))
	}
	for _, law := range [][2]string{
		{"material.growth_a.", "Growth along a and b"}, {"material.growth_c.", "Growth along c"},
		{"nucleation.melt.", "Nucleation in the melt"}, {"nucleation.top.", "Nucleation at the top"},
		{"nucleation.side.", "Nucleation at the side"}, {"nucleation.bottom.", "Nucleation at the bottom"},
	} {
		at, name := law[0], law[1]
		if kind := s.doc.Text(at + "law"); kind == "" || kind == laws.None {
			continue
		}
		origin := "given by the study itself."
		if none == nil {
			if source := s.shared(at, row); source != "" {
				origin = fmt.Sprintf("that of “%s”, %s.", base, source)
			}
		}
		if slices.ContainsFunc(s.Keys(), func(key string) bool { return strings.HasPrefix(key, at) }) {
			origin = "varied by the study."
		}
		if n := len(all); origin == last {
			all[n-1] = strings.TrimSuffix(all[n-1], ": "+origin) + "; " + strings.ToLower(name[:1]) + name[1:] + ": " + origin
			continue
		}
		all, last = append(all, name+": "+origin), origin
	}
	return all
}

// shared is the source of the law of a row, where the study has the same numbers; else empty.
func (s *Study) shared(at string, m material.Row) (source string) {
	for _, p := range m.Properties {
		if !strings.HasPrefix(p.Key, at) {
			continue
		}
		flat := strings.Replace(p.Key, "_per_mm3_h", "_per_mm2_h", 1) // which a study in a plane may give in its place
		law, _ := p.Value.(string)
		number, _ := p.Value.(float64)
		if s.doc.Text(p.Key) != law || s.doc.Number(p.Key) != number || flat != p.Key && s.doc.Has(flat) {
			return ""
		}
		if number != 0 && source == "" {
			source = fmt.Sprintf("%s (%s)", p.Source, p.Sure)
		}
	}
	return source
}
