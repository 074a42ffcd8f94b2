package main

import (
	"fmt"
	"math"
	"strings"

	"onegrain/analysis/fit"
)

// nucleiBlock is the law as a study takes it, or what is known instead.
func (q *fitting) nucleiBlock(path string, p *placeFitted) string {
	var b strings.Builder
	if q.body != "" {
		path += " --body " + q.body
	}
	f, rows := p.NucleiFit, len(p.lines)
	unit := map[string]string{"mm3": "mm³", "mm2": "mm²"}[p.Unit]
	if len(p.Bounds) > 0 {
		fmt.Fprintf(&b, "# onegrain fit nuclei %s: %s, %s without a stray: no law, an upper bound of the rate\n", path, p.Place, plural(rows, "row"))
		fmt.Fprintf(&b, "# in 95 of 100 cases, whatever the law, if it does not fall with undercooling:\n")
		for _, one := range p.Bounds {
			fmt.Fprintf(&b, "#   at %s K at most %s per %s h (3.0 over %s %s h there or deeper)\n", short(one.UndercoolingK), digits2(one.RatePerUnitH), unit, short6(one.UnitHours), unit)
		}
		if !f.Given {
			return b.String()
		}
	}
	if f.Upper {
		fmt.Fprintf(&b, "# for the barrier given, the largest prefactor of 95 in 100 cases; one stray a day in %s %s at %s K or deeper\n", liquidText(f.Size), unit, digits3(float64(f.Daily.Value)))
	} else {
		fmt.Fprintf(&b, "# onegrain fit nuclei %s: %s, %s with %s, %s\n", path, p.Place, plural(rows, "row"), plural(f.Strays, "stray"), kelvins(f.LowK, f.HighK))
		barrier := "barrier_K3 " + interval(f.Barrier)
		if f.Given {
			barrier = "barrier given"
		}
		fmt.Fprintf(&b, "# 95 %% intervals: %s, prefactor %s", barrier, interval(f.Prefactor))
		if !f.Given {
			b.WriteString(" (one goes with the other)")
		}
		fmt.Fprintf(&b, "\n# one stray a day in %s %s at %s K, interval %s K\n", liquidText(f.Size), unit, digits4(float64(f.Daily.Value)), interval(f.Daily))
	}
	b.WriteString(q.reference())
	fmt.Fprintf(&b, "[nucleation.%s]\nlaw = \"barrier\"\nprefactor_per_%s_h = %s\nbarrier_K3 = %s\n", p.Place, p.Unit, digits5(float64(p.Prefactor.Value)), digits5(float64(p.Barrier.Value)))
	return b.String()
}

func (n *nucleiFitted) print(s streams) error {
	for i, p := range n.Places {
		if len(p.Rows) == 0 {
			if err := tellFit(s, i, p.Place, p.Block, nil, nil); err != nil {
				return err
			}
			continue
		}
		t := &grid{head: []string{"line", "run", "undercooling K", "hours", map[string]string{"mm3": "liquid mm³", "mm2": "area mm²"}[p.Unit], "strays", "law expects", "chance", "note"}}
		for k, r := range p.Rows {
			l := p.lines[k]
			t.add(fmt.Sprint(l.line), l.cells["run"], course(r.Stage), digits3(r.Stage.Hours), liquidText(r.Size), r.Seen,
				digits2(float64(r.Expected)), digits2(float64(r.Chance)), l.cells["note"])
		}
		if err := tellFit(s, i, p.Place, p.Block, t, p.Warnings); err != nil {
			return err
		}
	}
	for _, w := range n.Warnings {
		s.say("%s", folded("warning: "+w, "  "))
	}
	return nil
}

// liquidText is a volume or an area without digits that nobody needs.
func liquidText(x float64) string {
	if x < 100 {
		return digits3(x)
	}
	return fmt.Sprintf("%.0f", x)
}

// tellFit prints the block on stdout, rows and warnings on stderr.
func tellFit(s streams, i int, what, block string, rows *grid, warnings []string) error {
	if i > 0 {
		block = "\n" + block
		s.say("")
	}
	if rows != nil {
		s.say("%s", what)
		if err := rows.print(s.err); err != nil {
			return err
		}
	}
	for _, w := range warnings {
		s.say("%s", folded("warning: "+w, "  "))
	}
	if rows != nil && terminal(s.out) {
		s.say("")
	}
	_, err := fmt.Fprint(s.out, block)
	return err
}

// course is the undercooling of a stage.
func course(s fit.Stage) string {
	if s.FromK == s.ToK {
		return digits4(s.FromK)
	}
	return fmt.Sprintf("%s to %s", digits4(s.FromK), digits4(s.ToK))
}

func kelvins(low, high float64) string {
	if low == high {
		return digits4(low) + " K"
	}
	return fmt.Sprintf("%s to %s K", digits4(low), digits4(high))
}

// interval says both ends with as many digits as tell them apart, or which of them is open.
func interval(e fit.Estimate) string {
	n := 3
	if span := math.Abs(float64(e.High-e.Low)) / math.Max(math.Abs(float64(e.High)), math.Abs(float64(e.Low))); span > 0 {
		n = min(max(2-int(math.Floor(math.Log10(span))), 3), 6)
	}
	low, high := digits(float64(e.Low), n), digits(float64(e.High), n)
	switch {
	case e.Low.Known() && e.High.Known():
		return low + " to " + high
	case e.Low.Known():
		return low + " or more, open upwards"
	case e.High.Known():
		return high + " or less, open downwards"
	}
	return "open to both sides"
}

func digits2(x float64) string { return digits(x, 2) }
func digits3(x float64) string { return digits(x, 3) }
func digits4(x float64) string { return digits(x, 4) }
func digits5(x float64) string { return digits(x, 5) }

// digits is a figure of so many digits, as TOML takes it; a dash where there is none.
func digits(x float64, n int) string {
	if math.IsNaN(x) {
		return "-"
	}
	return fmt.Sprintf("%.*g", n, x)
}

// signed is a figure with its sign.
func signed(x float64, places int) string {
	if math.IsNaN(x) {
		return "-"
	}
	text := fmt.Sprintf("%+.*f", places, x)
	if strings.Trim(text, "+-0.") == "" {
		return text[1:] // no sign for nothing
	}
	return text
}

// few4 are names with commas, four of them at most.
func few4(names []string) string {
	if len(names) > 4 {
		return strings.Join(names[:4], ", ") + fmt.Sprintf(" and %d more", len(names)-4)
	}
	return strings.Join(names, ", ")
}
