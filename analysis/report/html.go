package report

import (
	"embed"
	"encoding/base64"
	"html/template"
	"io"
	"path"
	"strings"
)

//go:embed page.html words.txt
var texts embed.FS

// HTML writes the page as one file that needs nothing else; the error is that of w.
func (p Page) HTML(w io.Writer) error {
	t, err := template.New("page.html").Funcs(template.FuncMap{
		// data carries a picture in its address
		"data": func(f *Figure) template.URL {
			return template.URL("data:" + f.Kind + ";base64," + base64.StdEncoding.EncodeToString(f.Image)) // ours, and base64
		},
		// ending of a file, as people call a kind of picture
		"ending": func(file string) string { return strings.ToUpper(strings.TrimPrefix(path.Ext(file), ".")) },
		// right tells whether a column of a table stands to the right
		"right": func(t *Table, column int) bool { return column < len(t.Numbers) && t.Numbers[column] },
	}).ParseFS(texts, "page.html")
	if err != nil {
		return err
	}
	return t.Execute(w, p)
}
