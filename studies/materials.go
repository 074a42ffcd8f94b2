package studies

import (
	"fmt"
	"strings"

	"onegrain/studies/material"
	"onegrain/studies/strict"
)

// takeFrom fills in from the base row what the study does not say.
func takeFrom(d *strict.Document) strict.Problems {
	const key = "material.base"
	if !d.Has(key) {
		return nil
	}
	var names []string
	for _, m := range material.Rows() {
		names = append(names, m.Name)
		if m.Name != d.Text(key) {
			continue
		}
		for _, p := range m.Properties {
			fill(d, p)
		}
		return nil
	}
	row := strict.Field{Kind: strict.Text, Choices: names}
	_, wanted, hint := row.Take(key, d.Text(key))
	if hint == "" {
		hint = "see `onegrain materials`"
	}
	return strict.Problems{d.Problem(key, wanted, hint)}
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

// fill hands one property to the document.
func fill(d *strict.Document, p material.Property) {
	if p.Text != "" {
		d.Fill(p.Key, p.Text)
		return
	}
	d.Fill(p.Key, p.Number)
}
