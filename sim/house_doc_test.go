package sim_test

import (
	"fmt"
	"go/ast"
	"go/token"
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

// wantSpec asks for the comments of one declaration; a comment above a group of constants holds for all of them.
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
