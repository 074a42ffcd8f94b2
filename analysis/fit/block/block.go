package block

import (
	"embed"
	"fmt"
	"math"
	"strings"
	"text/template"

	"onegrain/analysis/fit"
	"onegrain/analysis/logbook"
	"onegrain/analysis/tally"
)

//go:embed *.txt
var blocks embed.FS

// growthBlock is the law of one kind of face (a or c) that was fitted to rows of a file.
// peritecticC is NaN where it is not known.
func growthBlock(file, face string, peritecticC float64, f *fit.GrowthFit, rows []logbook.Length) (text string,
	table [][]string) {
	table = [][]string{{"line", "run", "undercooling K", "hours", "grown mm", "law mm", "off by %", "off by its error",
		"note"}}
	for k, r := range f.Rows {
		table = append(table, []string{fmt.Sprint(rows[k].Number), rows[k].Run, course(r.Stage), digits(r.Stage.Hours, 6),
			digits(r.GrownMM, 3), digits(r.FittedMM, 3), signed(r.ResidualPercent), signed(r.Studentised), rows[k].Note})
	}
	return filled("growth", struct {
		*fit.GrowthFit
		File, Face, Peritectic string
		Apart                  bool // from 10 K
	}{f, file, face, peritectic(peritecticC), !f.Given && math.Abs(f.MiddleK-10) > 0.5}), table
}

// nucleiBlock is the law of one place that was fitted to rows of a file, or what is known instead,
// without a table. body is the study whose body was grown along the rows; empty for none.
func nucleiBlock(file, body string, peritecticC float64, f *fit.NucleiFit, rows []logbook.Strays) (text string,
	table [][]string) {
	place, unit := rows[0].Place, rows[0].Unit
	size := map[string]string{"mm3": "liquid mm³", "mm2": "area mm²"}[unit]
	head := []string{"line", "run", "undercooling K", "hours", size, "strays", "law expects", "chance", "note"}
	for k, r := range f.Rows {
		if k == 0 {
			table = [][]string{head}
		}
		table = append(table, []string{fmt.Sprint(rows[k].Number), rows[k].Run, course(r.Stage), digits(r.Stage.Hours, 3),
			amount(r.Size), r.Seen, digits(r.Expected, 2), digits(r.Chance, 2), rows[k].Note})
	}
	return filled("nuclei", struct {
		*fit.NucleiFit
		File, Body, Place, Peritectic, Unit, Of string
		Count                                   int
	}{f, file, body, place, peritectic(peritecticC), unit, strings.Fields(size)[1], len(rows)}), table
}

// filled fills in the template of a law.
func filled(law string, with any) string {
	t := template.Must(template.New("").Funcs(template.FuncMap{
		"kelvins": kelvins, "interval": interval, "size": amount, "digits": digits[float64], "real": digits[tally.Real],
	}).ParseFS(blocks, law+".txt"))
	var b strings.Builder
	if err := t.ExecuteTemplate(&b, law+".txt", with); err != nil {
		panic(err) // a fault of the template, which a test fills in
	}
	return b.String()
}

// peritectic is what undercoolings are counted from, °C; empty where that is not known.
func peritectic(temperatureC float64) string { return strings.Trim(digits(temperatureC, 6), "-") }

// amount is a volume or an area without digits that nobody needs.
func amount(x float64) string {
	if x < 100 {
		return digits(x, 3)
	}
	return fmt.Sprintf("%.0f", x)
}

// course is the undercooling of a stage.
func course(s logbook.Stage) string { return strings.TrimSuffix(kelvins(s.FromK, s.ToK), " K") }

func kelvins(from, to float64) string {
	if from == to {
		return digits(from, 4) + " K"
	}
	return fmt.Sprintf("%s to %s K", digits(from, 4), digits(to, 4))
}

// interval says both ends with as many digits as tell them apart, or which of them is open.
func interval(e fit.Estimate) string {
	n := 3
	if span := math.Abs(float64(e.High-e.Low)) / max(math.Abs(float64(e.High)), math.Abs(float64(e.Low))); span > 0 {
		n = min(max(2-int(math.Floor(math.Log10(span))), 3), 6)
	}
	low, high := digits(e.Low, n), digits(e.High, n)
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

// digits is a figure of so many digits, as TOML takes it; a dash where there is none.
func digits[F ~float64](x F, n int) string {
	if math.IsNaN(float64(x)) {
		return "-"
	}
	return fmt.Sprintf("%.*g", n, x)
}

// signed is a figure with its sign, which nothing does not have.
func signed(x tally.Real) string {
	switch text := fmt.Sprintf("%+.1f", x); {
	case !x.Known():
		return "-"
	case text == "+0.0", text == "-0.0":
		return "0.0"
	default:
		return text
	}
}
