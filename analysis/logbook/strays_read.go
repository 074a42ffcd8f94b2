package logbook

import (
	"fmt"
	"math"
	"strings"
)

// mostCooledK is by how much a row may cool while its mean liquid still stands for it.
const mostCooledK = 2

const strayWarm = "a stray cannot come where the undercooling is not above 0.01 K"

// strayRows are rows that are being read.
type strayRows struct {
	*Sheet
	peritecticC       float64
	body              Body // nil where none is known
	rows              []Strays
	runs              map[string]*run
	empty, warm, full []string // rows that are left out
	cooled            []row    // rows whose mean liquid says nothing
	unread            bool     // whether volumes or areas were given that were not needed
}

// run is a furnace run as far as it was read: its stages in order, and what was looked at in the
// last one.
type run struct {
	stages []Stage
	looked map[string]bool
}

// take reads a row, and adds it where it says what can be used.
func (k *strayRows) take(r row) {
	before := k.Faults()
	if !r.looked() {
		k.empty = append(k.empty, r.at().Name())
		if k.body != nil && r.Cell("run") != "" { // a stage all the same
			if stage := r.stage(k.peritecticC); k.Faults() == before {
				k.follow(r, "growth "+r.Cell("face"), stage)
			}
		}
		return
	}
	seedMM := r.Number("seed_mm")
	grew := !(r.Filled("seed_mm") && seedMM == 0) // else nothing used up liquid
	one := Strays{Line: r.at()}
	one.Place, one.Unit, one.Size = k.where(r, grew)
	stage := r.stage(k.peritecticC)
	one.Stage = stage
	r.outcome(&one)
	if k.Faults() > before {
		return
	}
	var stages []Stage
	if k.body != nil && grew {
		stages = k.follow(r, one.Place, stage)
	}
	switch span := math.Abs(max(0, stage.FromK) - max(0, stage.ToK)); {
	case stage.warm():
		k.warm = append(k.warm, one.Name())
		return
	case stages != nil && !k.grown(r, &one, stages, seedMM):
		return
	case k.body == nil && grew && span > mostCooledK:
		k.cooled = append(k.cooled, r)
	}
	for _, other := range k.rows {
		if other.Place == one.Place && other.Unit != one.Unit {
			r.Refuse("", fmt.Sprintf("the %s is given here and in line %d, once by volume and once by area: "+
				"give them in files of their own", one.Place, other.Number), "")
			return
		}
	}
	k.rows = append(k.rows, one)
}

// follow adds the stage of a row to its run, and gives the run so far. Two rows in a row that speak
// of one stage, one of the melt and one of the top, or one of strays and one of growth, are one
// stage.
func (k *strayRows) follow(r row, what string, stage Stage) []Stage {
	name := r.Cell("run")
	if name == "" {
		return []Stage{stage}
	}
	f := k.runs[name]
	if f == nil {
		f = &run{}
		k.runs[name] = f
	}
	if n := len(f.stages); n == 0 || f.stages[n-1] != stage || f.looked[what] {
		f.stages, f.looked = append(f.stages, stage), map[string]bool{}
	}
	f.looked[what] = true
	return f.stages
}

// grown gives a row the liquid of the body in the last of its stages; ok is false where there was
// none.
func (k *strayRows) grown(r row, one *Strays, stages []Stage, seedMM float64) (ok bool) {
	var left float64
	one.Liquid, left = k.body.Liquid(one.Place, stages, one.Stage.Hours, seedMM)
	switch {
	case len(one.Liquid) > 0 && (left > 0 || one.Seen != FirstStray):
		return true
	case one.Seen != Counted || one.Count > 0:
		r.Refuse("", "a stray was seen, but by the laws of growth of "+k.body.Name()+" nothing was liquid then",
			"is it that body, and are all stages of the run there, in order? fit the laws of growth first")
	default:
		k.full = append(k.full, one.Name())
	}
	return false
}

// meanOfCooled refuses the mean liquid of a row that cools while a seed grows; more rows do.
func (k *strayRows) meanOfCooled(r row, more int) {
	column, as, s := "volume_mm3", "", r.stage(k.peritecticC)
	if r.Filled("area_mm2") {
		column = "area_mm2"
	}
	if more > 0 {
		as = fmt.Sprintf(" (as %d more row%s)", more, "s"[:min(1, more-1)])
	}
	r.Refuse(column, fmt.Sprintf("cooled from %.4g to %.4g K%s: the mean liquid of a stage says nothing about its "+
		"strays, which come at the end, when little liquid is left", s.FromK, s.ToK, as),
		"give --body STUDY.toml, a study of the body with its seed and laws of growth, and no volume is needed; "+
			"or seed_mm = 0 where no seed grew")
}

// said are the columns of a row that say what was seen of strays.
func (r row) said() (columns []string) {
	for _, c := range outcomes() {
		if r.Filled(c) {
			columns = append(columns, c)
		}
	}
	return columns
}

// looked tells whether a row says anything about strays. Where the sheet has a column of first
// strays, an empty cell says that none came, if it is said how much was liquid.
func (r row) looked() bool {
	waited := r.Has("first_stray_h") || r.Has("first_stray_undercooling_K")
	return len(r.said()) > 0 || waited && (r.Filled("volume_mm3") || r.Filled("area_mm2"))
}

// where reads place and size of what was liquid. Where the body is known it is the whole of it, but
// for a row without a seed that says otherwise.
func (k *strayRows) where(r row, grew bool) (place, unit string, size float64) {
	place = r.Word("place")
	column := ""
	switch volume, area := r.Filled("volume_mm3"), r.Filled("area_mm2"); {
	case volume && area:
		r.Refuse("area_mm2", "one of the two is enough", "volume_mm3 is for the melt, area_mm2 for a surface or a flat body")
		return place, "", 0
	case volume:
		column = "volume_mm3"
	case area:
		if column = "area_mm2"; !r.Filled("place") {
			r.Refuse("place", "missing", "top, side or bottom; melt for a flat body that is simulated in two dimensions")
		}
	case k.body == nil:
		r.Refuse("volume_mm3", "missing", "how much was liquid; or area_mm2 with place; or --body STUDY.toml")
		return place, "", 0
	}
	if place == "" {
		place = "melt"
	}
	if unit = "mm2"; column == "volume_mm3" || column == "" && place == "melt" {
		unit = "mm3"
	}
	size = r.Number(column)
	if column == "volume_mm3" && place != "melt" {
		r.Refuse(column, "the "+place+" is a surface", "give area_mm2")
	}
	if k.body == nil {
		return place, unit, size
	}
	whole := k.body.Whole(place)
	switch {
	case column == "area_mm2" && place == "melt":
		r.Refuse(column, "the melt of "+k.body.Name()+" has a volume", "leave it empty")
	case size > 1.02*whole: // cells have corners
		r.Refuse(column, fmt.Sprintf("more than the whole body of %s, which has %.6g", k.body.Name(), whole), "")
	case column != "" && !grew:
		return place, unit, size
	case column != "":
		k.unread = true
	}
	return place, unit, whole
}

// outcome reads what was seen.
func (r row) outcome(one *Strays) {
	said := r.said()
	switch {
	case len(said) == 0: // a column of first strays, and none came
		return
	case len(said) > 1:
		r.Refuse(said[1], "strays are given in several ways: "+strings.Join(said, " and "), "leave all but one of them empty")
		return
	case said[0] == "strays":
		n := r.Number("strays")
		if one.Count = int(n); n != math.Trunc(n) {
			r.Refuse("strays", "wanted a whole number", "")
		}
	case said[0] == "stray_seen":
		if r.Word("stray_seen") == "yes" {
			one.Seen = AtLeastOne
		}
	default:
		r.firstStray(one, said[0])
		return
	}
	if (one.Seen != Counted || one.Count > 0) && one.Stage.warm() {
		r.Refuse(said[0], strayWarm, "")
	}
}

// firstStray cuts the stage off where the first stray came.
func (r row) firstStray(one *Strays, column string) {
	before, x, s := r.Faults(), r.Number(column), one.Stage
	if r.Faults() > before || !(s.Hours > 0) {
		return
	}
	share, wanted := x/s.Hours, fmt.Sprintf("wanted 0 to %.6g, the hours of the stage", s.Hours)
	if column == "first_stray_undercooling_K" {
		if s.FromK == s.ToK {
			r.Refuse(column, "the undercooling was held, so it does not say when", "give first_stray_h")
			return
		}
		share = (x - s.FromK) / (s.ToK - s.FromK)
		wanted = fmt.Sprintf("wanted an undercooling of the stage, %.4g to %.4g K", min(s.FromK, s.ToK), max(s.FromK, s.ToK))
	}
	if !(share >= 0 && share <= 1) {
		r.Refuse(column, wanted, "")
		return
	}
	one.Seen = FirstStray
	one.Stage = Stage{FromK: s.FromK, ToK: s.FromK + share*(s.ToK-s.FromK), Hours: share * s.Hours}
	if one.Stage.ToK <= leastK {
		r.Refuse(column, strayWarm, "")
	}
}
