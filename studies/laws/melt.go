package laws

import (
	"cmp"
	"crypto/sha256"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"onegrain/sim/draw"
	"onegrain/sim/liquid"
	"onegrain/studies/draws"
	"onegrain/studies/strict"
)

// LawFile is the key of a file of draws, and another the furnace that no logbook knows.
const (
	LawFile = "material.laws"
	another = "another"

	furnace = "material.furnace"
	growthA = "material.growth_a."
	growthC = "material.growth_c."
	melt    = "nucleation.melt."
)

// anotherK is the standard deviation of what two furnaces differ by, K: two thermocouples of type
// S, class 1, ±1 K each (IEC 60584-1).
const anotherK = 1.4

// Decoder reads a file of draws; file is what errors call it. Whoever loads a study hands it in:
// what such a file looks like is no affair of this package.
type Decoder func(file string, data []byte) (*draws.File, error)

// Melt is the laws that a logbook allows, in place of those of a study. It never changes.
type Melt struct {
	*draws.File
	Hash         string // SHA-256 of all that decides results, hexadecimal, however the file is packed
	middle       draws.Law
	run, another []float64 // K, of each draw: a run's scatter, and what a furnace that nobody knows is off by
}

// ReadMelt reads a file of draws; the error says what is wrong with it.
func ReadMelt(file string, data []byte, decode Decoder) (*Melt, error) {
	if decode == nil {
		return nil, errors.New("no files of laws are read here")
	}
	f, err := decode(file, data)
	if err != nil {
		return nil, err
	}
	if len(f.Laws) == 0 || len(f.Furnaces) == 0 {
		return nil, errors.New("it has no laws, or names no furnace")
	}
	all := fmt.Appendf(nil, "%q %v", f.Furnaces, f.PeritecticC)
	for _, law := range f.Laws {
		all = fmt.Appendf(all, "\n%v", law)
	}
	m := &Melt{File: f, Hash: fmt.Sprintf("%x", sha256.Sum256(all)), middle: draws.Middle(f.Laws, f.PeritecticC)}
	for i, law := range f.Laws {
		dice := draw.NewKey("onegrain laws", strconv.Itoa(i))
		m.run = append(m.run, float64(law.ScatterK*dice.Stream("run").Normal()))
		m.another = append(m.another, float64(anotherK*dice.Stream("furnace").Normal()))
	}
	return m, nil
}

// Fill completes a document by what the file says: the furnace and the peritectic temperature.
func (m *Melt) Fill(d *strict.Document) {
	d.Fill(furnace, m.Furnaces[0])
	d.Fill("material.peritectic_C", m.PeritecticC)
}

// Check says what of a document does not go together with the file.
func (m *Melt) Check(d *strict.Document) (found strict.Problems) {
	const peritectic, alike = "material.peritectic_C", 1e-6
	if x := d.Number(peritectic); d.Has(peritectic) && max(x-m.PeritecticC, m.PeritecticC-x) > alike {
		found = d.Problem(peritectic, fmt.Sprintf("the laws hold with peritectic_C = %g, the study has %g", m.PeritecticC, x),
			fmt.Sprintf("write peritectic_C = %g, or learn the laws anew with the other one", m.PeritecticC))
	}
	if name := d.Text(furnace); d.Has(furnace) && name != another && !slices.Contains(m.Furnaces, name) {
		all := strict.Text(furnace, "", append(slices.Clone(m.Furnaces), another)...)
		found = append(found, d.Problem(furnace, all.Wanted(), "the furnaces of the logbook, or one that is not in it")...)
	}
	for _, f := range slices.Concat(MaterialFields(), NucleationFields()) {
		at := f.Key[:strings.LastIndex(f.Key, ".")+1]
		if slices.Contains([]string{growthA, growthC, melt}, at) && d.Has(f.Key) && !d.Has(at+"law") {
			found = append(found, d.Problem(f.Key, "has no meaning here", "the laws are those of "+LawFile)...)
		}
	}
	return append(found, thin(d, LawFile, "")...)
}

// Drawn are laws for the engine, and how many kelvin cooler than its programme a run is.
type Drawn struct {
	liquid.Laws
	ShiftK float64
}

// Middle is the middle law in the furnace of a document.
func (m *Melt) Middle(d *strict.Document) Drawn {
	return Drawn{m.middle.Laws(d.Number("material.peritectic_C")), m.offset(m.middle, d)}
}

// Draw is a draw, from 0, with what runs scatter by. Its numbers depend on its place in the file
// and on nothing else.
func (m *Melt) Draw(d *strict.Document, i int) Drawn {
	law := m.Laws[i]
	shift := m.offset(law, d) + m.run[i]
	if d.Text(furnace) == another {
		shift += m.another[i]
	}
	return Drawn{law.Laws(d.Number("material.peritectic_C")), shift}
}

// ScatterK is how many kelvin the undercooling scatters by from run to run by a draw, or by the
// middle law (−1), and how many of them are in the run of Draw.
func (m *Melt) ScatterK(i int) (sd, run float64) {
	if i < 0 {
		return m.middle.ScatterK, 0
	}
	return m.Laws[i].ScatterK, m.run[i]
}

// AnotherK is what a furnace that nobody knows is off by in a draw, and by how much it still is, by
// chance, after one held run there whose width was read: the scatter of that run and the scatter of
// lengths, as kelvin at an undercooling.
func (m *Melt) AnotherK(i int, undercoolingK float64) (before, after float64) {
	l := m.Laws[i]
	read := l.LengthScatter * undercoolingK / l.ExponentA
	return m.another[i], m.another[i] / anotherK * math.Min(anotherK, math.Hypot(l.ScatterK, read))
}

// offset of the furnace of a document by a law, K.
func (m *Melt) offset(law draws.Law, d *strict.Document) float64 {
	if i := slices.Index(m.Furnaces, d.Text(furnace)); i >= 0 && i < len(law.OffsetK) {
		return law.OffsetK[i]
	}
	return 0
}

// Shuffled are the places of all draws in an order that depends on a text alone.
func (m *Melt) Shuffled(by string) []int {
	order, dice := make([]int, len(m.Laws)), draw.NewKey("onegrain laws", by).Stream("order")
	for i := range order {
		k := dice.Index(i + 1)
		order[i] = order[k]
		order[k] = i
	}
	return order
}

// Few are the places of n draws or all, in which each family has its share.
func (m *Melt) Few(n int) []int {
	order := m.Shuffled("few")
	slices.SortStableFunc(order, func(i, k int) int { return cmp.Compare(m.Laws[i].Family, m.Laws[k].Family) })
	if n >= len(order) {
		return order
	}
	few := make([]int, n)
	for k := range few {
		few[k] = order[(2*k+1)*len(order)/(2*n)]
	}
	return few
}

// Told says of how many laws a file is, and of which families.
func (m *Melt) Told() string {
	count := map[string]int{}
	for _, law := range m.Laws {
		count[law.Family]++
	}
	var parts []string
	for _, family := range []string{draws.Barrier, draws.Sites} {
		if n := count[family]; n > 0 {
			parts = append(parts, fmt.Sprintf("%d with strays as %s", n, map[string]string{draws.Barrier: "a rate",
				draws.Sites: "sites"}[family]))
		}
	}
	return fmt.Sprintf("%d laws (%s)", len(m.Laws), strings.Join(parts, ", "))
}
