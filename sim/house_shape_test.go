package sim_test

import (
	"fmt"
	"go/ast"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"
)

const (
	codeColumns    = 120 // of a line of code; a tab counts as one
	commentColumns = 100 // of a line that is a comment
	fanOut         = 7   // packages of ours that a package may import
	exportCount    = 15  // exported names of a package, methods left out
)

// moreImports are the packages that may import more than fanOut of ours, and how many.
func moreImports() map[string]int {
	return map[string]int{
		"sim": 8,

		"studies/advise": 12, // its stand takes a case apart down to its laws

		"cmd/onegrain": 13, // wanted: 12

	}
}

// moreExports are the packages that may export more than exportCount names, and how many.
func moreExports() map[string]int {
	return map[string]int{}
}

// longLines names the lines of a file that are too long.
func longLines(file, text string) (bad []string) {
	for i, line := range strings.Split(text, "\n") {
		most := codeColumns
		if strings.HasPrefix(strings.TrimSpace(line), "//") {
			most = commentColumns
		}
		if n := utf8.RuneCountInString(line); n > most {
			bad = append(bad, fmt.Sprintf("%s:%d has %d columns, at most %d", file, i+1, n, most))
		}
	}
	return bad
}

// TestLineLength reads the tests as well.
func TestLineLength(t *testing.T) {
	root, files := os.DirFS(".."), 0
	for _, top := range []string{"analysis", "cmd", "sim", "studies"} {
		err := fs.WalkDir(root, top, func(file string, e fs.DirEntry, err error) error {
			if err != nil || e.IsDir() || filepath.Ext(file) != ".go" {
				return err
			}
			text, err := fs.ReadFile(root, file)
			files++
			for _, o := range longLines(file, string(text)) {
				t.Error(o)
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if files < 50 {
		t.Fatalf("found %d files only", files)
	}
	comment, tab := "\t// "+strings.Repeat("é", commentColumns-4), "\t"+strings.Repeat("x", codeColumns-1)
	for text, wanted := range map[string]int{comment: 0, comment + "é": 1, tab: 0, tab + "x": 1} {
		if n := len(longLines("sim/a.go", text)); n != wanted {
			t.Errorf("canary: %d lines of %q are too long, wanted %d", n, text, wanted)
		}
	}
}

// named are the exported names of a file, methods left out.
func named(s *source) (names []string) {
	add := func(n *ast.Ident) {
		if n.IsExported() {
			names = append(names, n.Name)
		}
	}
	for _, d := range s.tree.Decls {
		switch d := d.(type) {
		case *ast.FuncDecl:
			if d.Recv == nil {
				add(d.Name)
			}
		case *ast.GenDecl:
			for _, spec := range d.Specs {
				switch v := spec.(type) {
				case *ast.TypeSpec:
					add(v.Name)
				case *ast.ValueSpec:
					for _, n := range v.Names {
						add(n)
					}
				}
			}
		}
	}
	return names
}

// arrows are the packages of ours that a file imports.
func arrows(s *source) (ours []string) {
	for _, i := range s.tree.Imports {
		name, _ := strconv.Unquote(i.Path.Value)
		if p, ok := strings.CutPrefix(name, "onegrain/"); ok {
			ours = append(ours, p)
		}
	}
	return ours
}

// tooMany names the folders whose files have, together, more different things than most, or than
// their entry in more.
func tooMany(all []*source, things func(*source) []string, most int, more map[string]int) (bad []string) {
	found := map[string]map[string]bool{}
	for _, s := range all {
		if found[s.folder] == nil {
			found[s.folder] = map[string]bool{}
		}
		for _, x := range things(s) {
			found[s.folder][x] = true
		}
	}
	for _, folder := range slices.Sorted(maps.Keys(found)) {
		n, may := len(found[folder]), max(most, more[folder])
		if n > may {
			bad = append(bad, fmt.Sprintf("%s has %d, at most %d: %s", folder, n, may,
				strings.Join(slices.Sorted(maps.Keys(found[folder])), " ")))
		}
	}
	return bad
}

func TestPackageSize(t *testing.T) {
	all := house(t)
	var imports, exports strings.Builder
	for i := range fanOut + 1 {
		fmt.Fprintf(&imports, "import \"onegrain/sim/%c\"\n", 'a'+i)
	}
	for i := range exportCount + 1 {
		fmt.Fprintf(&exports, "type %c struct{}\n", 'A'+i)
	}
	for _, c := range []struct {
		name   string
		things func(*source) []string
		most   int
		more   map[string]int
		canary string
	}{
		{"fan-out", arrows, fanOut, moreImports(), imports.String()},
		{"exports", named, exportCount, moreExports(), exports.String()},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, o := range tooMany(all, c.things, c.most, c.more) {
				t.Error(o)
			}
			canary := []*source{parse(t, "sim/novel/a.go", []byte("package novel\n"+c.canary))}
			if len(tooMany(canary, c.things, c.most, nil)) != 1 {
				t.Error("canary: one more than allowed passes")
			}
		})
	}
}
