package sim_test

import (
	"fmt"
	"go/ast"
	"go/token"
	"os"
	"slices"
	"strings"
	"testing"
)

// undocumented finds exported names without a comment.
func undocumented(s *source) (bad []string) {
	want := func(name *ast.Ident, docs ...*ast.CommentGroup) {
		if !name.IsExported() {
			return
		}
		for _, d := range docs {
			if d != nil {
				return
			}
		}
		bad = append(bad, fmt.Sprintf("%s: %s has no comment", s.at(name), name.Name))
	}
	for _, d := range s.tree.Decls {
		switch d := d.(type) {
		case *ast.FuncDecl:
			if d.Recv == nil || ast.IsExported(receiver(d.Recv.List[0].Type)) {
				want(d.Name, d.Doc)
			}
		case *ast.GenDecl:
			for _, spec := range d.Specs {
				wantSpec(d, spec, want)
			}
		}
	}
	return bad
}

// wantSpec asks for the comments of one declaration; a comment above a group of constants holds for
// all of them.
func wantSpec(d *ast.GenDecl, spec ast.Spec, want func(*ast.Ident, ...*ast.CommentGroup)) {
	switch v := spec.(type) {
	case *ast.TypeSpec:
		above := d.Doc
		if d.Tok == token.TYPE && d.Lparen.IsValid() {
			above = nil
		}
		want(v.Name, v.Doc, v.Comment, above)
		if i, ok := v.Type.(*ast.InterfaceType); ok && v.Name.IsExported() {
			for _, m := range i.Methods.List {
				for _, name := range m.Names {
					want(name, m.Doc, m.Comment)
				}
			}
		}
	case *ast.ValueSpec:
		for _, name := range v.Names {
			want(name, v.Doc, v.Comment, d.Doc)
		}
	}
}

// receiver is the name of a method's type.
func receiver(e ast.Expr) string {
	switch t := e.(type) {
	case *ast.StarExpr:
		return receiver(t.X)
	case *ast.IndexExpr:
		return receiver(t.X)
	case *ast.Ident:
		return t.Name
	}
	return ""
}

// strangers are the files a text names in backquotes that are not there, and the direct modules of
// go.mod it has no line for.
func strangers(text, module string, exists func(file string) bool) (bad []string) {
	for i, word := range strings.Split(text, "`") {
		top, _, inside := strings.Cut(word, "/")
		ours := inside && slices.Contains([]string{"analysis", "cmd", "sim", "studies", "testdata", ".ci"}, top)
		if i%2 == 0 || !ours || strings.ContainsAny(word, " \n*") || strings.Contains(word, "NAME") ||
			strings.Contains(word, "...") {
			continue
		}
		if !exists(word) {
			bad = append(bad, "names "+word+", which is not there")
		}
	}
	for _, line := range strings.Split(module, "\n") {
		f := strings.Fields(line)
		if len(f) == 2 && strings.HasPrefix(f[1], "v") && !strings.Contains(text, "| `"+f[0]+"` |") {
			bad = append(bad, "has no line for "+f[0])
		}
	}
	return bad
}

func TestDevelopersPage(t *testing.T) {
	read := func(name string) string {
		text, err := os.ReadFile("../" + name)
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	exists := func(file string) bool { _, err := os.Stat("../" + file); return err == nil }
	page, module := read("DEVELOPERS.md"), read("go.mod")
	for _, s := range strangers(page, module, exists) {
		t.Error("DEVELOPERS.md " + s)
	}
	if n := len(strangers(page+" `sim/kinetics/magic.go`", module+"\n\texample.org/none v1.0.0\n", exists)); n < 2 {
		t.Errorf("canary: %d of a missing file and a module without a line were found", n)
	}
}
