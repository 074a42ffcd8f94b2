package report

import (
	"encoding/base64"
	"html/template"
	"io"
	"path"
	"strings"
)

// HTML writes the page as one file that needs nothing else; the error is that of w.
func (p Page) HTML(w io.Writer) error {
	t, err := template.New("page").Funcs(template.FuncMap{"data": data, "slice": sliced, "right": right, "ending": ending}).Parse(hypertext)
	if err != nil {
		return err
	}
	return t.Execute(w, p)
}

// data carries a picture in its address.
func data(f *Figure) template.URL {
	return template.URL("data:" + f.Kind + ";base64," + base64.StdEncoding.EncodeToString(f.Image)) // ours, and base64
}

// sliced is an id that a heading may have.
func sliced(id string) string { return "s-" + id }

// ending of a file, as people call a kind of picture.
func ending(file string) string { return strings.ToUpper(strings.TrimPrefix(path.Ext(file), ".")) }

// right tells whether a column of a table stands to the right.
func right(t *Table, column int) bool { return column < len(t.Numbers) && t.Numbers[column] }

const hypertext = `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{{.Title}}</title>
<style>` + style + `</style>
</head>
<body>
<header>
<p class="kind">Report of a growth study</p>
<h1>{{.Title}}</h1>
<p>{{.Lead}}</p>
<p class="hint">Wide figures and tables can be pushed sideways.</p>
</header>
<nav aria-label="Contents"><ol>{{range .Sections}}
<li><a href="#{{.ID}}">{{.Title}}</a></li>{{end}}
</ol></nav>
<main>{{range .Sections}}
<section id="{{.ID}}" aria-labelledby="{{slice .ID}}">
<h2 id="{{slice .ID}}">{{.Title}}</h2>
{{template "blocks" .Blocks}}</section>{{end}}
</main>
</body>
</html>
{{define "blocks"}}{{range .}}{{if .Lead}}<p class="lead">{{.Lead}}</p>
{{else if .Text}}<p>{{.Text}}</p>
{{else if .Heading}}<h3>{{.Heading}}</h3>
{{else if .Caution}}<div class="caution" role="note"><p>Mind:</p><ul>{{range .Caution}}<li>{{.}}</li>{{end}}</ul></div>
{{else if .List}}<ul>{{range .List}}<li>{{.}}</li>{{end}}</ul>
{{else if .Facts}}<dl>{{range .Facts}}<div><dt>{{.Name}}</dt><dd>{{.Value}}</dd></div>{{end}}</dl>
{{else if .Code}}<pre tabindex="0">{{.Code}}</pre>
{{else if .Table}}{{template "table" .Table}}{{else if .Figure}}{{template "figure" .Figure}}{{else if .Fold}}<details{{if .Fold.Screen}} class="screen"{{end}}><summary>{{.Fold.Summary}}</summary>
{{template "blocks" .Fold.Blocks}}</details>
{{end}}{{end}}{{end}}
{{define "table"}}{{$t := .}}<div class="box" tabindex="0" role="region" aria-label="Table{{with .Caption}}: {{.}}{{end}}"><table{{if .Long}} class="long"{{end}}>{{with .Caption}}<caption>{{.}}</caption>{{end}}
<thead><tr>{{range $i, $h := .Head}}<th scope="col"{{if right $t $i}} class="n"{{end}}>{{$h}}</th>{{end}}</tr></thead>
<tbody>{{range $r, $row := .Rows}}
<tr{{if eq $r $t.Marked}} class="best"{{end}}>{{range $i, $c := $row}}<td{{if right $t $i}} class="n"{{end}}>{{$c}}</td>{{end}}</tr>{{end}}
</tbody></table></div>
{{end}}
{{define "figure"}}<figure><div class="box" tabindex="0" role="region" aria-label="Figure: {{.Caption}}"><img src="{{data .}}" alt="{{.Alt}}" width="{{.Width}}" height="{{.Height}}"></div>
<figcaption>{{.Caption}}{{if .Files}} <span class="files">Also beside this page as {{range $i, $f := .Files}}{{if $i}}, {{end}}<a href="{{$f}}">{{ending $f}}</a>{{end}}.</span>{{end}}</figcaption></figure>
{{end}}`

const style = `
:root{--ink:#1d2326;--soft:#55626a;--line:#c9d1d3;--tone:#0f5257;--pale:#eef4f3;--warn:#fff6e3;--warnline:#b7791f}
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%}
body{margin:0 auto;max-width:70rem;padding:1.5rem 1.25rem 4rem;background:#fff;color:var(--ink);font:1rem/1.55 "DejaVu Sans",Verdana,"Segoe UI",Helvetica,Arial,sans-serif;overflow-wrap:break-word}
h1{font-size:1.7rem;line-height:1.25;margin:.2rem 0 .5rem}
h2{font-size:1.3rem;line-height:1.3;margin:3rem 0 .8rem;padding-bottom:.3rem;border-bottom:2px solid var(--tone)}
h3{font-size:1.05rem;margin:1.8rem 0 .4rem}
p,ul{max-width:46rem}
a{color:var(--tone)}
.kind{margin:0;color:var(--soft);font-size:.85rem;letter-spacing:.04em}
nav{margin:1.2rem 0;padding:.7rem 1rem;background:var(--pale);border-radius:.4rem}
nav ol{margin:0;padding-left:1.6rem;columns:17rem}
.lead{font-size:1.12rem;padding:.8rem 1rem;border-left:.35rem solid var(--tone);background:var(--pale)}
.caution{max-width:46rem;margin:1rem 0;padding:.5rem 1rem;background:var(--warn);border-left:.35rem solid var(--warnline)}
.caution p{margin:.2rem 0;font-weight:bold}
.caution ul{margin:.3rem 0;padding-left:1.2rem}
dl{margin:1rem 0;border-top:1px solid var(--line)}
dl div{display:grid;grid-template-columns:minmax(9rem,15rem) 1fr;gap:.2rem 1rem;padding:.35rem 0;border-bottom:1px solid var(--line)}
dt{color:var(--soft)}
dd{margin:0;font-weight:600;min-width:0;overflow-wrap:anywhere}
.box{overflow-x:auto;max-width:100%}
table{border-collapse:collapse;font-size:.86rem;font-variant-numeric:tabular-nums}
caption{text-align:left;color:var(--soft);padding:.3rem 0 .5rem;max-width:46rem}
th,td{padding:.3rem .5rem;text-align:left;vertical-align:top;border-bottom:1px solid var(--line)}
th{border-bottom:2px solid var(--tone);vertical-align:bottom;min-width:4.5rem}
td{max-width:22rem;overflow-wrap:break-word;word-break:normal;min-width:3.5rem}
.long td{overflow-wrap:anywhere;min-width:6rem}
.hint{display:none;color:var(--soft);font-size:.85rem}
.n{text-align:right;white-space:nowrap}
th.n{white-space:normal}
.best td{background:var(--pale);font-weight:bold}
figure{margin:1.5rem 0}
img{display:block;width:100%;max-width:760px;height:auto;background:#fff}
figcaption{max-width:46rem;color:var(--soft);font-size:.9rem;margin-top:.4rem}
.files{font-size:.8rem}
details{margin:1rem 0;max-width:100%}
summary{cursor:pointer;color:var(--tone);font-weight:600}
pre{overflow-x:auto;max-width:100%;padding:.8rem;background:var(--pale);font-size:.8rem;line-height:1.4}
@media(max-width:640px){body{padding:1rem .9rem 3rem}h1{font-size:1.35rem}h2{font-size:1.15rem}dl div{grid-template-columns:1fr}nav ol{columns:1}.hint{display:block}figure img{min-width:36rem}}
@media print{html{font-size:10pt}body{max-width:none;padding:0}.hint,.screen{display:none}nav{background:none;border:1px solid var(--line)}h2,h3{break-after:avoid}figure,tr,.caution,dl div{break-inside:avoid}.box{overflow:visible}table{font-size:7.5pt;width:100%}th,td{min-width:0;padding:.15rem .3rem}.files{display:none}img{max-width:16cm;max-height:22cm;width:auto}a{color:inherit;text-decoration:none}pre{white-space:pre-wrap}
details::details-content{content-visibility:visible;display:block;block-size:auto}}
`
