package evidence

import (
	html "html/template"
	"io"
	"strings"
	text "text/template"
)

// Markdown writes the page for reading in a terminal or a repository.
func (p Page) Markdown(w io.Writer) error {
	cell := func(s string) string { return strings.ReplaceAll(s, "|", "\\|") }
	t, err := text.New("page").Funcs(text.FuncMap{"n": number, "share": share, "cell": cell}).Parse(markdown)
	if err != nil {
		return err
	}
	return t.Execute(w, p)
}

// HTML writes the page as one file that needs nothing else.
func (p Page) HTML(w io.Writer) error {
	t, err := html.New("page").Funcs(html.FuncMap{"n": number, "share": share}).Parse(hypertext)
	if err != nil {
		return err
	}
	return t.Execute(w, p)
}

const markdown = `# Evidence

{{template "summary" .}}
| item | | findings | verdict | largest share of a tolerance |
|---|---|---|---|---|
{{range .Items}}| {{.Number}} | {{.Name}} | {{len .Findings}} | {{if .Failed}}**fails**{{else}}agrees{{end}} | {{share .Worst}} |
{{end}}
{{range .Items}}## {{.Number}}. {{.Name}}

Source: {{.Source}}

What agreement settles: {{.Settles}}

What it cannot settle: {{.Cannot}}
{{if .Error}}
**Broke off:** {{.Error}}
{{end}}
| quantity | where | expected | found | tolerance | used | verdict | sample | tolerance from | source | canary |
|---|---|---|---|---|---|---|---|---|---|---|
{{range .Findings}}| {{cell .Quantity}}{{if .Unit}} ({{cell .Unit}}){{end}} | {{cell .Where}} | {{n .Expected}} | {{n .Found}} | {{if .Reported}}none{{else}}{{n .Tolerance}}{{end}} | {{if not .Reported}}{{share .Used}}{{end}} | {{if .Failed}}**{{.Verdict}}**{{else}}{{.Verdict}}{{end}} | {{cell .Sample}} | {{cell .Because}} | {{cell .Source}} | {{if .Canary.Wrong}}{{cell .Canary.Wrong}}: {{n .Canary.Expected}} against {{n .Canary.Found}}, {{if .Canary.Agrees}}**let pass**{{else}}refused{{end}}{{end}} |
{{end}}
{{range .Findings}}{{if .Note}}- {{.Quantity}}, {{.Where}}: {{.Note}}
{{end}}{{end}}{{if .Differences}}
Differences found:
{{range .Differences}}
- {{.}}{{end}}
{{end}}
{{end}}## Where this page comes from

Model version {{.ModelVersion}}; the {{.Size}} form of the battery. All random numbers come from fixed seeds: but for rounding in
last digits, the same program gives the same page on every machine.
{{define "summary"}}{{.Findings}} findings compare answers of the program, each got by running a study file and reading the tables it leaves, with results that were
derived or published elsewhere. {{.Agree}} agree, {{.Failed}} fail{{if .Reported}}, {{.Reported}} are reported without a verdict because the source settles nothing{{end}}.

*Used* is the difference as a share of the tolerance: above 1 it differs. Every finding with a verdict has a canary: the same comparison with a constant made wrong
on purpose. {{.Refused}} canaries were refused; a finding whose canary passes is called blind and counts as failed.
{{end}}`

const hypertext = `<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>Evidence</title>
<style>
body{font:15px/1.5 "DejaVu Sans",Verdana,sans-serif;margin:2rem auto;max-width:100rem;padding:0 1.5rem;color:#1b1b1b;background:#fff}
h1,h2{line-height:1.2}h2{margin-top:2.5rem;border-top:1px solid #bbb;padding-top:1.2rem}
p{max-width:52rem}
.wide{overflow-x:auto}
table{border-collapse:collapse;font-size:13px}
th,td{border-bottom:1px solid #ddd;padding:.35rem .6rem;text-align:left;vertical-align:top}
th{border-bottom:2px solid #888}
td.r,th.r{text-align:right;white-space:nowrap;font-variant-numeric:tabular-nums}
td.t{min-width:15rem}td.q{min-width:12rem}
.bad{background:#8a1f11;color:#fff;padding:0 .35rem}
</style></head><body>
<h1>Evidence</h1>
<p>{{.Findings}} findings compare answers of the program, each got by running a study file and reading the tables it leaves, with results that were derived or
published elsewhere. <b>{{.Agree}} agree, {{.Failed}} fail</b>{{if .Reported}}, {{.Reported}} are reported without a verdict because the source settles nothing{{end}}.</p>
<p><i>Used</i> is the difference as a share of the tolerance: above 1 it differs. Every finding with a verdict has a canary: the same comparison with a constant made
wrong on purpose. {{.Refused}} canaries were refused; a finding whose canary passes is called blind and counts as failed.</p>
<div class="wide"><table><tr><th>item</th><th></th><th class="r">findings</th><th>verdict</th><th>largest share of a tolerance</th></tr>
{{range .Items}}<tr><td>{{.Number}}</td><td><a href="#item{{.Number}}">{{.Name}}</a></td><td class="r">{{len .Findings}}</td><td>{{if .Failed}}<span class="bad">fails</span>{{else}}agrees{{end}}</td><td class="r">{{share .Worst}}</td></tr>
{{end}}</table></div>
{{range .Items}}<h2 id="item{{.Number}}">{{.Number}}. {{.Name}}</h2>
<p><b>Source.</b> {{.Source}}</p><p><b>What agreement settles.</b> {{.Settles}}</p><p><b>What it cannot settle.</b> {{.Cannot}}</p>
{{if .Error}}<p><span class="bad">Broke off:</span> {{.Error}}</p>{{end}}
<div class="wide"><table><tr><th>quantity</th><th>where</th><th class="r">expected</th><th class="r">found</th><th class="r">tolerance</th><th class="r">used</th><th>verdict</th><th>sample</th><th>tolerance from</th><th>source</th><th>canary</th></tr>
{{range .Findings}}<tr><td class="q">{{.Quantity}}{{if .Unit}} ({{.Unit}}){{end}}</td><td class="q">{{.Where}}</td><td class="r">{{n .Expected}}</td><td class="r">{{n .Found}}</td><td class="r">{{if .Reported}}none{{else}}{{n .Tolerance}}{{end}}</td><td class="r">{{if not .Reported}}{{share .Used}}{{end}}</td><td>{{if .Failed}}<span class="bad">{{.Verdict}}</span>{{else}}{{.Verdict}}{{end}}</td><td>{{.Sample}}</td><td class="t">{{.Because}}</td><td class="t">{{.Source}}</td><td class="t">{{if .Canary.Wrong}}{{.Canary.Wrong}}: {{n .Canary.Expected}} against {{n .Canary.Found}}, {{if .Canary.Agrees}}<span class="bad">let pass</span>{{else}}refused{{end}}{{end}}</td></tr>
{{end}}</table></div>
<ul>{{range .Findings}}{{if .Note}}<li>{{.Quantity}}, {{.Where}}: {{.Note}}</li>{{end}}{{end}}</ul>
{{if .Differences}}<p><b>Differences found</b></p><ul>{{range .Differences}}<li>{{.}}</li>{{end}}</ul>{{end}}
{{end}}<h2>Where this page comes from</h2>
<p>Model version {{.ModelVersion}}; the {{.Size}} form of the battery. All random numbers come from fixed seeds: but for rounding in last digits, the same program gives the same page on every machine.</p>
</body></html>
`
