package evidence

import (
	"embed"
	"encoding/json"
	"fmt"
	html "html/template"
	"io"
	"strings"
	text "text/template"
)

// The forms of the page, and the page that reports carry.
//
//go:embed page.md.tmpl page.html.tmpl evidence.json
var files embed.FS

// Kept is the page as it was when `make evidence-page` last wrote it, for reports. Its ModelVersion
// tells whether it is of the physics at hand.
func Kept() (Page, error) {
	var p Page
	data, err := files.ReadFile("evidence.json")
	if err == nil {
		err = json.Unmarshal(data, &p)
	}
	if err != nil {
		return p, fmt.Errorf("analysis/evidence/evidence.json: %w: make it anew with `make evidence-page`", err)
	}
	return p, nil
}

// JSON writes the page as data.
func (p Page) JSON(w io.Writer) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	return e.Encode(p)
}

// Markdown writes the page for reading in a terminal or a repository.
func (p Page) Markdown(w io.Writer) error {
	cell := func(s string) string { return strings.ReplaceAll(s, "|", "\\|") }
	t, err := text.New("page.md.tmpl").Funcs(text.FuncMap{"n": number, "share": share, "cell": cell}).ParseFS(files,
		"page.md.tmpl")
	if err != nil {
		return err
	}
	return t.Execute(w, p)
}

// HTML writes the page as one file that needs nothing else.
func (p Page) HTML(w io.Writer) error {
	t, err := html.New("page.html.tmpl").Funcs(html.FuncMap{"n": number, "share": share}).ParseFS(files, "page.html.tmpl")
	if err != nil {
		return err
	}
	return t.Execute(w, p)
}
