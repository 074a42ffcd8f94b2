package gallery

import (
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
	return []Kind{
		{"grains", "pictures", "Which grain is where; planes through the body as the picture names them.",
			nil, nil, nil},
		{"sectors", "pictures", "Growth sectors: which face of the crystal has grown which part. Properties differ between " +
			"sectors, and the facet lines between them are seen on the grown body.",
			nil, (*Gallery).AnySolid, nil},
		{"arrival", "pictures", "When the growth front came by, in hours from the start of the programme, with the " +
			"undercooling then.",
			nil, (*Gallery).AnySolid, nil},
		{"corner", "pictures", "The body from a corner, the quarter before the seed cut out: seeded grains in cool " +
			"colours, strays in warm ones and hatched.",
			(*Gallery).isSolid, (*Gallery).SeveralGrains, nil},
		{"corner-sectors", "pictures", "The body from a corner, the quarter before the seed cut out: growth sectors, each " +
			"grown by one face of the crystal.",
			(*Gallery).isSolid, (*Gallery).oneGrain, nil},
		{"boundaries", "pictures", "Boundaries between grains by the angle between the crystals; those that join are blue " +
			"and hollow.",
			nil, (*Gallery).SeveralGrains, nil},
		{"programme", "programme", ProgrammeCaption, nil, nil, (*Gallery).programme},
		{"history", "pictures", "The run over time: width of the grain, share that is solid, strays.",
			nil, (*Gallery).AnySolid, (*Gallery).history},
		{"trapped-field", "field", "Field of the fully magnetised body above its top face.",
			(*Gallery).isMagnet, nil, (*Gallery).field},
		{"strip", "field", "The weakest cut through the grain map, which limits a current along the body.",
			(*Gallery).isStrip, nil, (*Gallery).strip},
	}
}

// ProgrammeCaption is what the report says of the programme.
const ProgrammeCaption = "What the furnace does: temperature at the body, and undercooling below the peritectic " +
	"temperature, against time."

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
