package chart

import (
	"math"
	"testing"
)

// Nothing may be drawn over the data: the legend stands clear of all views, and both on the sheet.
func TestLegendStandsClearOfTheViews(t *testing.T) {
	letters, err := newLettering()
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range odd() {
		shown := views(c, math.Inf(1))
		for kind, k := range map[string]*picture{"grains": grainPicture(c, Sheet{}, shown), "sectors": sectorPicture(c, Sheet{}, shown), "arrival": arrivalPicture(c, Sheet{}, shown)} {
			p := k.planned(shown, letters)
			bottom := p.legendY + k.legendHeight(letters, p.legendW)
			for i, b := range p.boxes {
				if p.legendX < b.x+b.w && p.legendY < b.y+b.h {
					t.Errorf("%s, %s: the legend covers view %d", name, kind, i)
				}
				if b.x+b.w > p.width || b.y+b.h+axisBottom > p.height || i > 0 && b.cell != p.boxes[0].cell {
					t.Errorf("%s, %s: view %d at %+v of a sheet %v × %v", name, kind, i, b, p.width, p.height)
				}
			}
			if bottom > p.height || p.legendX+p.legendW > p.width {
				t.Errorf("%s, %s: the legend leaves the sheet", name, kind)
			}
		}
	}
}
