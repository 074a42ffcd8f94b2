package gallery

import (
	"cmp"
	"io"

	"onegrain/analysis/chart"
)

// Kind is one kind of picture.
type Kind struct {
	Name             string
	Section, Caption string // in the report

	fits  func(g *Gallery) bool // nil = every body has one
	tells func(g *Gallery) bool // whether it says something of this run in the report; nil = always

	// draw is nil for what package chart draws.
	draw func(g *Gallery, w io.Writer, f Format) (alt string, err error)
}

// Kinds are all kinds, in the order in which `draw` writes them.
func Kinds() []Kind {
	kinds := []Kind{
		{Name: "grains"},
		{Name: "sectors", tells: (*Gallery).AnySolid},
		{Name: "arrival", tells: (*Gallery).AnySolid},
		{Name: "corner", fits: (*Gallery).isSolid, tells: (*Gallery).SeveralGrains},
		{Name: "corner-sectors", fits: (*Gallery).isSolid, tells: (*Gallery).oneGrain},
		{Name: "boundaries", tells: (*Gallery).SeveralGrains},
		{Name: "programme", Section: "programme", draw: (*Gallery).programme},
		{Name: "history", tells: (*Gallery).AnySolid, draw: (*Gallery).history},
		{Name: "trapped-field", Section: "field", fits: (*Gallery).isMagnet, draw: (*Gallery).field},
		{Name: "strip", Section: "field", fits: (*Gallery).isStrip, draw: (*Gallery).strip},
	}
	for i, k := range kinds {
		kinds[i].Section, kinds[i].Caption = cmp.Or(k.Section, "pictures"), Caption(k.Name)
	}
	return kinds
}

// Fits tells whether the body has such a picture.
func (g *Gallery) Fits(k Kind) bool { return k.fits == nil || k.fits(g) }

// Draw writes a picture of the kind and returns its text alternative.
func (g *Gallery) Draw(k Kind, w io.Writer, f Format) (alt string, err error) {
	if k.draw != nil {
		return k.draw(g, w, f)
	}
	sheet := g.sheet
	sheet.Format = f
	return chart.Draw(w, k.Name, g.cells, sheet)
}

// Reported are the kinds that the report shows of the run, in its order.
func (g *Gallery) Reported() (all []Kind) {
	for _, name := range []string{"programme", "corner-sectors", "corner", "grains", "sectors", "arrival", "boundaries",
		"history", "trapped-field", "strip"} {
		for _, k := range Kinds() {
			if k.Name == name && g.Fits(k) && (k.tells == nil || k.tells(g)) {
				all = append(all, k)
			}
		}
	}
	return all
}
