package studies

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strconv"

	"onegrain/sim"
	"onegrain/sim/draw"
	"onegrain/studies/border"
	"onegrain/studies/laws"
	"onegrain/studies/strict"
)

// Planned is one case of a study before it is converted: cheap, so that a plan of millions costs
// nothing until its turn.
type Planned struct {
	Index   int    // from 0, in the order of the design
	ID      string // 16 hexadecimal digits: hash of the physics and the model version, whatever the index or the title
	Values  []any  // one for each of Study.Columns
	JoinDeg float64

	Study *Study // that it is of

	doc  *strict.Document
	text string // canonical physics
}

// Plan is case i, 0 ≤ i < Cases. It fails only in studies too large to be checked case by case when
// they are loaded.
func (s *Study) Plan(i int) (Planned, error) {
	if i < 0 || i >= s.Cases() {
		return Planned{}, fmt.Errorf("case %d: the study has %d, counted from 0", i, s.Cases())
	}
	p, found := s.Identify(i)
	if s.Varied() > 0 { // the first case was checked when the study was loaded
		found = append(found, s.converter.Check(p.doc)...)
	}
	return p, found.Err()
}

// Identify is case i before it is checked, with what its values themselves have wrong.
func (s *Study) Identify(i int) (Planned, strict.Problems) {
	d, found := s.document(i)
	p := Planned{Index: i, Study: s, Values: s.Design.Values(i), doc: d}
	if len(found) == 0 {
		p.text, p.JoinDeg = s.physics(d), d.Number("domain.join_deg")
		p.ID = p.Under(ModelVersion)
	}
	return p, found
}

// physics is the text of everything that decides the result of a case, and of nothing else.
func (s *Study) physics(d *strict.Document) string {
	text := d.Without("material.base", "body.file", "schedule.file", laws.LawFile).Canonical(border.Sections()...)
	if m := s.converter.Melt; m != nil {
		text += "\nlaws " + m.Hash
	}
	if s.record != "" {
		text += "\n" + s.record
	}
	if s.outline != "" {
		text += "\n" + s.outline
	}
	return text
}

// Under is the identity of the case under a model version, 16 hexadecimal digits.
func (p Planned) Under(modelVersion string) string {
	sum := sha256.Sum256([]byte("onegrain case\x00" + modelVersion + "\x00" + p.text))
	return hex.EncodeToString(sum[:8])
}

// Case converts the case for the engine, of several laws with the middle one. Cases of one body
// share its grid.
func (p Planned) Case() (*sim.Case, error) {
	c, found := p.Study.converter.Case(p.doc)
	if len(found) > 0 {
		return nil, found.Err()
	}
	return c, nil
}

// Run is the case, which was converted, as a replicate runs it, counted from 1: with the law that
// it draws, where each draws one. That is the same one in every case of the study.
func (p Planned) Run(c *sim.Case, replicate int) *sim.Case {
	if !p.Study.EachLaw {
		return c
	}
	order := p.Study.Melt().Shuffled(strconv.FormatInt(p.Study.Seed, 10))
	return p.Drawn(c, order[(replicate-1)%len(order)])
}

// Melt is the laws that a logbook allows; nil where the study has its own.
func (s *Study) Melt() *laws.Melt { return s.converter.Melt }

// Drawn is the case, which was converted, with one of the laws of Study.Melt in place of the middle
// one: growth, strays, and how much cooler than its programme a run is.
func (p Planned) Drawn(c *sim.Case, law int) *sim.Case { return p.Study.converter.Draw(p.doc, c, law) }

// Law is one of the laws of Study.Melt in the furnace of the case, or the middle one (−1): with how
// much cooler than its programme a run of it is.
func (p Planned) Law(i int) laws.Drawn {
	m := p.Study.Melt()
	if i < 0 {
		return m.Middle(p.doc)
	}
	return m.Draw(p.doc, i)
}

// Bytes is how much memory a run of the case needs, at most.
func (p Planned) Bytes() int64 { return p.Study.converter.Bytes(p.doc) }

// Varied are the values of the case by their columns.
func (p Planned) Varied() map[string]any {
	values := map[string]any{}
	for i, c := range p.Study.Columns() {
		values[c.Name] = p.Values[i]
	}
	return values
}

// PeritecticC is the peritectic temperature of the case, °C.
func (p Planned) PeritecticC() float64 { return p.doc.Number("material.peritectic_C") }

// DesignPoints says where the case stands in a sampled design, as the column design_points does;
// empty in others.
func (p Planned) DesignPoints() string { return p.Study.Places(p.Index) }

// Key keys the random streams of a replicate, counted from 1. With pairing = "common" it is the
// same in every case.
func (p Planned) Key(replicate int) draw.Key {
	physics := p.text
	if p.Study.Common {
		physics = ""
	}
	return draw.NewKey("onegrain run", ModelVersion, strconv.FormatInt(p.Study.Seed, 10), physics, strconv.Itoa(replicate))
}

// Name names the case by its values, as "cooling_rate_K_per_h = 0.4, start_undercooling_K = 8";
// empty where nothing varies.
func (p Planned) Name() string { return p.Study.Design.Name(p.Index) }

// Draws says how a study, given as its text, draws its random numbers; empty where the text cannot
// be read. Runs of a case are the same where this is the same.
func Draws(text []byte) string {
	var other struct {
		Random struct {
			Seed    int64  `toml:"seed"`
			Pairing string `toml:"pairing"`
			Laws    string `toml:"laws"`
		} `toml:"random"`
	}
	other.Random.Seed, other.Random.Pairing = 1, "common"
	if err := strict.Decode(string(text), &other); err != nil {
		return ""
	}
	how := fmt.Sprintf("random.seed = %d and random.pairing = %q", other.Random.Seed, other.Random.Pairing)
	if other.Random.Laws == "middle" { // what a study of an earlier version says has to stay as it is
		how += fmt.Sprintf(" and random.laws = %q", other.Random.Laws)
	}
	return how
}
