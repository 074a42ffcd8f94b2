package strict

import (
	"math/rand/v2"
	"os"
	"strings"
	"testing"
)

// TestSlips: every slip of the list is explained by a line of its own, as someone makes it, with
// line, key and next move.
func TestSlips(t *testing.T) {
	tried := map[string]bool{}
	for row, want := range map[string]string{
		"height_mm =\u00a08": "body.height_mm = 8: wanted a number above 0 and at most 10 (mm); there is a space " +
			"of another kind",
		"shape = “disc”": `body.shape = “disc”: wanted one of "disc", "block"; ` +
			`strings are written in straight quotes: shape = "disc"`,
		"height_mm = −8": "body.height_mm = −8: wanted a number above 0 and at most 10 (mm); this is not the minus sign " +
			"of the keyboard: write height_mm = -8",
		"height_mm = 8,5  # high": "body.height_mm = 8,5: wanted a number above 0 and at most 10 (mm); decimals come " +
			"after a point: height_mm = 8.5",
		"height_mm = 08":        "numbers do not begin with 0: height_mm = 8",
		"height_mm = 1.000,5":   "a number has one decimal point, and no mark between thousands",
		"height_mm = .5":        "write a digit before the point: height_mm = 0.5",
		"height_mm = 8.":        "write a digit after the point: height_mm = 8.0",
		"height_mm = 1.1·10^-3": "powers of ten are written with e: height_mm = 1.1e-3",
		"height_mm = 8 9":       "one key has one value, or a list in [ ] with commas between",
		"height_mm = 8;":        "nothing may follow the value: height_mm = 8",
		"height_mm = 8 // high": "comments begin with #: height_mm = 8  # …",
		"// high":               "body: // high: not TOML; comments begin with #",
		"height_mm = 8 mm": "body.height_mm = 8 mm: wanted a number above 0 and at most 10 (mm); write the " +
			"number alone, in the unit that its key ends in",
		"ok = True":          "true and false are written in small letters",
		"at_mm = (0, 0)":     "lists are written in [ ]: at_mm = [0, 0]",
		"at_mm = [0, 0":      "a comma or the closing ] is missing",
		"at_mm = 0, 0]":      "the opening [ is missing",
		`title = "C:\pucks"`: `a \ has a meaning of its own between these quotes`,
		"shape = \"disc":     "the closing quote is missing",
		"shape = disc":       `strings are written in quotes: shape = "disc"`,
		"height_mm =":        "body.height_mm: wanted a number above 0 and at most 10 (mm); the value is missing after =",
		"height_mm == 8":     "write one = between key and value",
		"height_mm: 8": "body.height_mm = 8: wanted a number above 0 and at most 10 (mm); write = between key and value: " +
			"height_mm = 8",
		"= 8":                         "the key is missing before =",
		"[[seed]":                     "[[seed]: not TOML; a table is opened as [body], one of several as [[seed]]",
		"height mm = 8":               "unknown key; keys have only letters, digits and _; did you mean body.height_mm?",
		"height_mm = 8\x1b[31m, \x07": "�",
	} {
		// what is right before it has to stay unblamed
		_, found := sample().read("title = 'x'\n[body]\ncells = 3\n" + row + "\n")
		want = strings.TrimPrefix(want, "body: ")
		if len(found) != 1 || found[0].Line != 4 || !strings.Contains(found[0].String(), want) ||
			strings.ContainsAny(found[0].String(), "\x1b\x07") {
			t.Errorf("%q: %v, wanted line 4: %s", row, found, want)
		}
		for _, s := range slips() {
			if len(found) == 1 && strings.Contains(found[0].Hint, strings.SplitN(s.hint, "$", 2)[0]) {
				tried[s.hint] = true
			}
		}
	}
	for _, s := range slips() {
		if !tried[s.hint] {
			t.Errorf("no line was explained by %q (%s)", s.hint, s.line)
		}
	}
}

func (s Schema) read(text string) (*Document, Problems) { return Read("f", text, s) }

// TestNothingRightIsBlamed: no line of a study that is TOML is blamed in place of the one that is
// not.
func TestNothingRightIsBlamed(t *testing.T) {
	text, err := os.ReadFile("../../testdata/invalid/base/disc.toml")
	if err != nil {
		t.Fatal(err)
	}
	rows := strings.Split(string(text), "\n")
	for i := range rows {
		if rows[i] == "" {
			continue
		}
		spoilt := append(append(append([]string{}, rows[:i+1]...), "§"), rows[i+1:]...)
		_, found := sample().read(strings.Join(spoilt, "\n"))
		if len(found) != 1 || found[0].Line != i+2 {
			t.Errorf("a stray sign in line %d: %v", i+2, found)
		}
	}
}

// TestEverySlipAtOnce: all lines with a known slip are told together, and each of a table that
// should be one of several.
func TestEverySlipAtOnce(t *testing.T) {
	_, found := sample().read("[body]\nshape = disc\nheight_mm = 8,5\ncells = 3\n[[seed]]\nat_mm = (0, 0)\n")
	if len(found) != 3 || found[0].Line != 2 || found[1].Line != 3 || found[2].Line != 6 ||
		found[2].Key != "seed.1.at_mm" {
		t.Errorf("found %v", found)
	}
	_, found = sample().read("[seed]\nok = true\n[seed]\nok = 8,5\n[[seed]]\n")
	if len(found) != 2 || found[0].Line != 1 || found[1].Line != 3 || found[0].Hint != "write [[seed]]" {
		t.Errorf("found %v", found)
	}
}

// Lines above a slip may be anything: the scanner reads every text of four of these signs to its
// end, and longer ones of them at random.
func TestScannerReadsAnyText(t *testing.T) {
	const signs = "[].=\"'\\,{#\n a"
	read := 0
	try := func(text string) {
		if _, table := scan(text); strings.Count(table, ".") > len(text) {
			t.Fatalf("%q opens %q", text, table)
		}
		read++
	}
	var all func(text string, more int)
	all = func(text string, more int) {
		try(text)
		for i := 0; more > 0 && i < len(signs); i++ {
			all(text+signs[i:i+1], more-1)
		}
	}
	all("", 5)
	random := rand.New(rand.NewPCG(1, 2))
	for n := range 20_000 {
		text := make([]byte, 5+n%20)
		for i := range text {
			text[i] = signs[random.IntN(len(signs))]
		}
		try(string(text))
	}
	if read < 320_000 {
		t.Errorf("%d texts", read)
	}
}

// What nests deeper than any study is refused before it is decoded: a million brackets would end
// the program, and ten thousand closed ones keep it busy for long. Canary: what nests a little is
// read.
func TestDeepNestingIsRefused(t *testing.T) {
	deep := "study.toml:2: " + nested()
	many := func(text string) string { return strings.Repeat(text, 3_000_000) }
	for name, text := range map[string]string{
		"open":         "a = 1\nb = " + many("["),
		"closed":       "a = 1\nb = " + many("[") + many("]") + "\n",
		"tables":       "a = 1\nb = " + many("{c = "),
		"keys":         "a = 1\n" + many("b.") + "b = 1\n",
		"header":       "a = 1\n[" + many("b.") + "b]\n",
		"behind slips": "a = \"one\nb = " + many("["),
	} {
		_, found := Read("study.toml", text, Schema{Text("a", "a word")})
		if said := found.Error(); !strings.HasPrefix(said, deep) && name != "behind slips" || len(said) > 1000 {
			t.Errorf("%s: %.200s", name, said)
		}
	}
	if err := Decode("b = "+strings.Repeat("[", 900)+strings.Repeat("]", 900), &map[string]any{}); err != nil {
		t.Errorf("canary: 900 brackets: %v", err)
	}
}
