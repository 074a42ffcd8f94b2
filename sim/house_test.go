package sim_test

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// mayImport says which packages of the module each folder may import. A folder that is not listed
// is refused.
func mayImport() map[string]string {
	arrows := map[string]string{}
	for line := range strings.Lines(mayImportLines) {
		if folder, of, is := strings.Cut(line, ":"); is {
			arrows[strings.TrimSpace(folder)] += " " + of
		}
	}
	return arrows
}

// mayImportLines are folders and what they may import; a line each, so that changes meet rarely.
const mayImportLines = `
analysis: analysis/influence
analysis: analysis/joints
analysis: analysis/tally
analysis: analysis/window
analysis: studies/column
analysis: studies/strict
analysis: studies/table
analysis/advice:
analysis/belief: analysis/belief/facts
analysis/belief: analysis/belief/likelihood
analysis/belief: analysis/belief/sample
analysis/belief: sim/draw
analysis/belief: sim/liquid
analysis/belief: sim/number
analysis/belief: studies/draws
analysis/belief/facts: sim/furnace
analysis/belief/likelihood: analysis/belief/facts
analysis/belief/likelihood: sim/furnace
analysis/belief/likelihood: sim/kinetics
analysis/belief/likelihood: sim/liquid
analysis/belief/likelihood: sim/nucleation
analysis/belief/likelihood: sim/number
analysis/belief/likelihood: studies/draws
analysis/belief/sample: sim/draw
analysis/belief/sample: sim/number
analysis/advice/shelf: analysis/advice
analysis/chart: analysis/chart/paper
analysis/chart: analysis/chart/scale
analysis/chart: analysis/chart/scene
analysis/chart: analysis/chart/tint
analysis/chart/graph: analysis/chart/paper
analysis/chart/graph: analysis/chart/scale
analysis/chart/graph: analysis/chart/scene
analysis/chart/graph: analysis/chart/tint
analysis/chart/graph: analysis/tally
analysis/chart/graph: analysis/trace
analysis/chart/paper: analysis/chart/scale
analysis/chart/paper: analysis/chart/scene
analysis/chart/paper: analysis/chart/tint
analysis/chart/scale:
analysis/chart/scene: analysis/chart/scale
analysis/chart/scene: analysis/chart/tint
analysis/chart/scene: analysis/trace
analysis/chart/tint:
analysis/compare: analysis/tally
analysis/compare: studies
analysis/compare: studies/table
analysis/evidence:
analysis/fit: analysis/logbook
analysis/fit: analysis/tally
analysis/fit/block: analysis/fit
analysis/fit/block: analysis/logbook
analysis/fit/block: analysis/tally
analysis/fit/block: studies
analysis/fit/block: studies/again
analysis/fit/block: studies/liquid
analysis/fit/block: studies/material
analysis/fit/lawbook: analysis/belief
analysis/fit/lawbook: analysis/fit/block
analysis/fit/lawbook: analysis/logbook
analysis/fit/lawbook: analysis/plain
analysis/fit/lawbook: studies
analysis/fit/lawbook: studies/draws
analysis/fit/lawbook: studies/proof
analysis/gallery: analysis/chart
analysis/gallery: analysis/chart/graph
analysis/gallery: analysis/chart/paper
analysis/gallery: analysis/chart/scale
analysis/gallery: analysis/chart/scene
analysis/gallery: sim
analysis/gallery: studies/again
analysis/influence: analysis/tally
analysis/joints: analysis/magnet
analysis/joints: analysis/tally
analysis/logbook: analysis/belief/facts
analysis/logbook: sim/furnace
analysis/logbook: studies/record
analysis/logbook: studies/sheet
analysis/logbook: studies/strict
analysis/logbook/plan: studies/sheet
analysis/logbook/plan: studies/strict
analysis/magnet:
analysis/plain: analysis/chart/scale
analysis/report: analysis
analysis/report: analysis/chart/scale
analysis/report: analysis/evidence
analysis/report: analysis/tally
analysis/report: analysis/window
analysis/report: studies/border
analysis/report: studies/table
analysis/report/plots: analysis
analysis/report/plots: analysis/chart/graph
analysis/report/plots: analysis/chart/paper
analysis/report/plots: analysis/chart/scale
analysis/report/plots: analysis/report
analysis/report/plots: analysis/tally
analysis/report/plots: analysis/window
analysis/report/whole: analysis
analysis/report/whole: analysis/gallery
analysis/report/whole: analysis/report
analysis/report/whole: analysis/report/plots
analysis/report/whole: studies
analysis/report/whole: studies/again
analysis/report/whole: studies/table
analysis/tally:
analysis/trace:
analysis/window: analysis/tally
analysis/window: analysis/trace
analysis/window: studies/unit
cmd/evidence: analysis/evidence
cmd/evidence: cmd/evidence/battery
cmd/evidence: cmd/evidence/door
cmd/evidence/battery: analysis/evidence
cmd/evidence/battery: cmd/evidence/door
cmd/evidence/door: studies/table
cmd/onegrain: analysis
cmd/onegrain: analysis/compare
cmd/onegrain: analysis/fit/lawbook
cmd/onegrain: analysis/gallery
cmd/onegrain: analysis/plain
cmd/onegrain: analysis/report/whole
cmd/onegrain: studies
cmd/onegrain: studies/advise
cmd/onegrain: studies/again
cmd/onegrain: studies/cluster
cmd/onegrain: studies/disk
cmd/onegrain: studies/run
cmd/onegrain: studies/table
sim: sim/body
sim: sim/crystal
sim: sim/draw
sim: sim/furnace
sim: sim/growth
sim: sim/kinetics
sim: sim/nucleation
sim: sim/number
sim/body: sim/number
sim/crystal: sim/number
sim/draw: sim/number
sim/furnace: sim/number
sim/growth: sim/body
sim/growth: sim/crystal
sim/growth: sim/furnace
sim/growth: sim/kinetics
sim/growth: sim/number
sim/kinetics: sim/number
sim/liquid: sim
sim/liquid: sim/body
sim/liquid: sim/furnace
sim/liquid: sim/kinetics
sim/liquid: sim/nucleation
sim/liquid: sim/nucleation/rate
sim/liquid: sim/number
sim/measure: sim
sim/measure: sim/body
sim/measure: sim/furnace
sim/measure: sim/growth
sim/measure: sim/kinetics
sim/measure: sim/liquid
sim/measure: sim/nucleation
sim/nucleation: sim/body
sim/nucleation: sim/crystal
sim/nucleation: sim/draw
sim/nucleation: sim/furnace
sim/nucleation: sim/nucleation/rate
sim/nucleation/rate: sim/number
sim/number:
studies: sim
studies: sim/draw
studies: studies/border
studies: studies/design
studies: studies/laws
studies: studies/material
studies: studies/strict
studies/advise: analysis/advice/shelf
studies/advise: analysis/advice
studies/advise: analysis/logbook/plan
studies/advise: analysis/tally
studies/advise: analysis/window
studies/advise: sim
studies/advise: sim/furnace
studies/advise: sim/kinetics
studies/advise: sim/liquid
studies/advise: sim/measure
studies/advise: studies
studies/advise: studies/again
studies/again: analysis/magnet
studies/again: analysis/tally
studies/again: analysis/trace
studies/again: sim
studies/again: sim/growth
studies/again: sim/measure
studies/again: studies
studies/border: sim
studies/border: sim/body
studies/border: sim/furnace
studies/border: studies/laws
studies/border: studies/layout
studies/border: studies/record
studies/border: studies/strict
studies/chances: sim
studies/chances: sim/liquid
studies/chances: sim/measure
studies/chances: studies
studies/cluster: studies
studies/cluster: studies/disk
studies/column:
studies/design: sim/draw
studies/design: sim/number
studies/design: studies/column
studies/design: studies/sample
studies/design: studies/strict
studies/design: studies/unit
studies/disk:
studies/disk/trial: studies/disk
studies/draws: sim/kinetics
studies/draws: sim/liquid
studies/draws: sim/nucleation
studies/draws: sim/nucleation/rate
studies/draws: sim/number
studies/laws: sim/draw
studies/laws: sim/kinetics
studies/laws: sim/liquid
studies/laws: sim/nucleation
studies/laws: sim/nucleation/rate
studies/laws: studies/draws
studies/laws: studies/strict
studies/layout: sim
studies/layout: sim/body
studies/layout: sim/furnace
studies/layout: sim/nucleation
studies/layout: sim/number
studies/layout: studies/strict
studies/layout: studies/unit
studies/liquid: analysis/logbook
studies/liquid: sim
studies/liquid: sim/furnace
studies/liquid: sim/kinetics
studies/liquid: sim/liquid
studies/liquid: sim/measure
studies/liquid: sim/nucleation/rate
studies/material: studies/strict
studies/material: studies/unit
studies/proof: sim
studies/proof: sim/furnace
studies/proof: sim/liquid
studies/proof: sim/measure
studies/proof: studies
studies/proof: studies/again
studies/proof: studies/draws
studies/record: studies/sheet
studies/record: studies/strict
studies/run: sim
studies/run: sim/measure
studies/run: studies
studies/run: studies/again
studies/run: studies/chances
studies/run: studies/column
studies/run: studies/table
studies/sample: sim/draw
studies/sheet: studies/strict
studies/strict: studies/unit
studies/table: studies/column
studies/table: studies/disk
studies/table: studies/draws
studies/unit:
`

// longFunctions may have up to 100 lines, for the reason given; all others have 60 at most.
func longFunctions() map[string]string {
	return map[string]string{}
}

// unchanging are package-level variables that nothing writes to, for the reason given.
func unchanging() map[string]string {
	return map[string]string{
		"studies.catalog":            "embedded files",
		"studies/strict.token":       "an expression, compiled once",
		"studies/column.texts":       "embedded file",
		"studies/material.rows":      "embedded file",
		"studies/sample.joeKuoTable": "embedded file",
		"studies/strict.slipTexts":   "embedded file",
		"cmd/onegrain.pages":         "embedded files",
		"analysis/evidence.files":    "embedded files",
		"analysis/fit/block.blocks":  "embedded files",
		"analysis/window.words":      "embedded file",
		"cmd/evidence/battery.texts": "embedded files",
		"studies/cluster.jobText":    "embedded file",
		"analysis/chart/graph.prose": "embedded file",
		"analysis/gallery.texts":     "embedded file",
		"analysis/report.texts":      "embedded files",
	}
}

const (
	engineNever = "os io time log encoding net"
	// notSameBits are functions of package math that may differ in the last bit between machines;
	// sim/number has its own.
	notSameBits = "Exp Exp2 Expm1 Log Log2 Log10 Log1p Pow Pow10 Sin Cos Tan Sincos Asin Acos Atan Atan2 Sinh Cosh " +
		"Tanh Asinh Acosh Atanh Erf Erfc Gamma Lgamma Hypot Cbrt"
	fileLines  = 400 // more fail,
	fileWanted = 300 // more are named
	funcLines  = 60
	funcMost   = 100
)

// source is one Go file of the module that is no test.
type source struct {
	folder, name string
	files        *token.FileSet
	tree         *ast.File
	lines        int
}

func (s *source) at(n ast.Node) string {
	return fmt.Sprintf("%s/%s:%d", s.folder, s.name, s.files.Position(n.Pos()).Line)
}

func (s *source) engine() bool { return s.folder == "sim" || strings.HasPrefix(s.folder, "sim/") }

func (s *source) extent(n ast.Node) int {
	return s.files.Position(n.End()).Line - s.files.Position(n.Pos()).Line + 1
}

func parse(t *testing.T, file string, text []byte) *source {
	t.Helper()
	files := token.NewFileSet()
	tree, err := parser.ParseFile(files, file, text, parser.ParseComments)
	if err != nil {
		t.Fatal(err)
	}
	return &source{path.Dir(file), path.Base(file), files, tree, strings.Count(string(text), "\n")}
}

// house parses all files that are no tests.
func house(t *testing.T) []*source {
	t.Helper()
	var all []*source
	root := os.DirFS("..")
	for _, top := range []string{"analysis", "cmd", "sim", "studies"} {
		err := fs.WalkDir(root, top, func(file string, e fs.DirEntry, err error) error {
			if err != nil || e.IsDir() || filepath.Ext(file) != ".go" || strings.HasSuffix(file, "_test.go") {
				return err
			}
			text, err := fs.ReadFile(root, file)
			if err == nil {
				all = append(all, parse(t, file, text))
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if len(all) < 50 {
		t.Fatalf("found %d files only", len(all))
	}
	return all
}

// rule finds what a file does against the house.
type rule struct {
	name     string
	offences func(*source) []string
	file     string // where the canary would stand
	canary   string // a text the rule must refuse
}

func rules() []rule {
	return []rule{
		{"who imports whom", imports, "sim/growth/a.go", "package growth\nimport \"onegrain/studies\"\n"},
		{"a new folder is named", imports, "sim/novel/a.go", "package novel\n"},
		{"no back door", imports, "studies/table/a.go", "package table\nimport \"onegrain/studies/border\"\n"},
		{"the engine touches nothing outside", outside, "sim/body/a.go", "package body\nimport \"encoding/json\"\n"},
		{"the engine has no clock", outside, "sim/a.go", "package sim\nimport \"time\"\n"},
		{"same bits", sameBits, "sim/kinetics/a.go",
			"package kinetics\nimport \"math\"\nfunc f(x float64) float64 { return math.Pow(x, 1.9) }\n"},
		{"no init", inits, "studies/a.go", "package studies\nfunc init() {}\n"},
		{"no mutable globals", globals, "sim/a.go", "package sim\nvar runs int\n"},
		{"no mutable tables", globals, "studies/a.go", "package studies\nvar laws = map[string]int{}\n"},
		{"no errors in disguise", globals, "studies/a.go", "package studies\nvar errCount = 1\n"},
		{"short files", longFile, "sim/a.go", "package sim\n" + strings.Repeat("\n", fileLines)},
		{"short functions", longFunction, "sim/a.go", "package sim\nfunc f() {\n" + strings.Repeat("\tf()\n",
			funcLines-1) + "}\n"},
		{"documented types", undocumented, "sim/a.go", "package sim\ntype Oven struct{}\n"},
		{"documented functions", undocumented, "sim/a.go", "package sim\nfunc Bake() {}\n"},
		{"documented methods", undocumented, "sim/a.go",
			"package sim\n// Oven is hot.\ntype Oven struct{}\nfunc (o *Oven) Bake() {}\n"},
		{"documented constants", undocumented, "sim/a.go", "package sim\nconst Hot = 1\n"},
	}
}

func TestHouse(t *testing.T) {
	all := house(t)
	for _, r := range rules() {
		t.Run(r.name, func(t *testing.T) {
			for _, s := range all {
				for _, o := range r.offences(s) {
					t.Error(o)
				}
			}
			if len(r.offences(parse(t, r.file, []byte(r.canary)))) == 0 {
				t.Errorf("canary: the rule lets this pass:\n%s", r.canary)
			}
		})
	}
	for _, s := range all {
		if s.lines > fileWanted {
			t.Logf("%s/%s has %d lines: more than the %d wanted", s.folder, s.name, s.lines, fileWanted)
		}
	}
}

// TestPackageDocs wants exactly one package comment in each folder.
func TestPackageDocs(t *testing.T) {
	count := func(all []*source) map[string]int {
		n := map[string]int{}
		for _, s := range all {
			n[s.folder] += 0
			if s.tree.Doc != nil {
				n[s.folder]++
			}
		}
		return n
	}
	for folder, n := range count(house(t)) {
		if n != 1 {
			t.Errorf("%s has %d package comments, wanted 1", folder, n)
		}
	}
	if n := count([]*source{parse(t, "sim/a.go", []byte("package sim\n"))}); n["sim"] != 0 || len(n) != 1 {
		t.Errorf("canary: a folder without a package comment counts %v", n)
	}
}

func imports(s *source) (bad []string) {
	allowed, ok := mayImport()[s.folder]
	if !ok {
		return []string{fmt.Sprintf("%s/%s: mayImport does not know this folder", s.folder, s.name)}
	}
	for _, i := range s.tree.Imports {
		name, _ := strconv.Unquote(i.Path.Value)
		if p, ours := strings.CutPrefix(name, "onegrain/"); ours && !slices.Contains(strings.Fields(allowed), p) {
			bad = append(bad, fmt.Sprintf("%s: %s must not import %s", s.at(i), s.folder, p))
		}
	}
	return bad
}

func outside(s *source) (bad []string) {
	for _, i := range s.tree.Imports {
		name, _ := strconv.Unquote(i.Path.Value)
		top, _, _ := strings.Cut(name, "/")
		if s.engine() && slices.Contains(strings.Fields(engineNever), top) {
			bad = append(bad, fmt.Sprintf("%s: the engine must not import %s", s.at(i), name))
		}
	}
	return bad
}

func sameBits(s *source) (bad []string) {
	if !s.engine() {
		return nil
	}
	ast.Inspect(s.tree, func(n ast.Node) bool {
		if f, ok := n.(*ast.SelectorExpr); ok {
			if p, ok := f.X.(*ast.Ident); ok && p.Name == "math" && slices.Contains(strings.Fields(notSameBits), f.Sel.Name) {
				bad = append(bad, fmt.Sprintf("%s: math.%s differs between machines; take sim/number", s.at(f), f.Sel.Name))
			}
		}
		return true
	})
	return bad
}

func inits(s *source) (bad []string) {
	for _, d := range s.tree.Decls {
		if f, ok := d.(*ast.FuncDecl); ok && f.Name.Name == "init" && f.Recv == nil {
			bad = append(bad, s.at(f)+": init function; wire by a visible table")
		}
	}
	return bad
}

func globals(s *source) (bad []string) {
	for _, d := range s.tree.Decls {
		g, ok := d.(*ast.GenDecl)
		if !ok || g.Tok != token.VAR {
			continue
		}
		for _, spec := range g.Specs {
			v := spec.(*ast.ValueSpec)
			for i, name := range v.Names {
				if name.Name == "_" || isError(v, i) || unchanging()[s.folder+"."+name.Name] != "" {
					continue
				}
				bad = append(bad, fmt.Sprintf("%s: package-level variable %s; make it a constant, a function or a field",
					s.at(name), name.Name))
			}
		}
	}
	return bad
}

// isError tells whether a variable is an error value made on the spot.
func isError(v *ast.ValueSpec, i int) bool {
	if i >= len(v.Values) {
		return false
	}
	call, ok := v.Values[i].(*ast.CallExpr)
	if !ok {
		return false
	}
	f, ok := call.Fun.(*ast.SelectorExpr)
	if !ok {
		return false
	}
	p, ok := f.X.(*ast.Ident)
	return ok && (p.Name == "errors" && f.Sel.Name == "New" || p.Name == "fmt" && f.Sel.Name == "Errorf")
}

func longFile(s *source) []string {
	if s.lines > fileLines {
		return []string{fmt.Sprintf("%s/%s has %d lines, at most %d", s.folder, s.name, s.lines, fileLines)}
	}
	return nil
}

func longFunction(s *source) (bad []string) {
	for _, d := range s.tree.Decls {
		f, ok := d.(*ast.FuncDecl)
		if !ok {
			continue
		}
		most := funcLines
		if longFunctions()[s.folder+"."+f.Name.Name] != "" {
			most = funcMost
		}
		if n := s.extent(f); n > most {
			bad = append(bad, fmt.Sprintf("%s: %s has %d lines, at most %d", s.at(f), f.Name.Name, n, most))
		}
	}
	return bad
}
