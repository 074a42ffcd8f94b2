package battery

import (
	"bytes"
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"onegrain/analysis/evidence"
	"onegrain/cmd/evidence/door"
)

// tens expects 10 and has a tolerance of 1.
func tens(found, canary float64) evidence.Finding {
	return evidence.Finding{Quantity: "length | width", Unit: "mm", Canary: evidence.Canary{Wrong: "rate +30 %"},
		Comparison: evidence.Comparison{Expected: 10, Found: found, Tolerance: 1}}.Against(canary)
}

func finds(found ...evidence.Finding) check {
	return func(on *bench) { on.found = found }
}

// TestPage: an item that breaks off, panics, finds nothing, or has a finding that fails makes the
// page fail; all forms can be written.
func TestPage(t *testing.T) {
	program, err := door.Open("go", t.TempDir(), 1)
	if err != nil {
		t.Fatal(err)
	}
	by := map[int]check{
		1: finds(tens(10, 13)), 2: finds(tens(10, 13), tens(10, 10.5), tens(math.NaN(), 13)), 3: finds(),
		4: func(*bench) { panic(errors.New("out of paper")) },
		5: func(*bench) { panic("no ink") },
	}
	var items []evidence.Item
	for _, n := range []int{4, 1, 3, 2, 5} {
		items = append(items, evidence.Item{Number: n, Name: "item <" + string(rune('a'+n)) + ">"})
	}
	p := done(program, true, items, by)
	if p.Findings != 4 || p.Agree != 2 || p.Failed != 5 || p.Refused != 3 || p.Size != "short" {
		t.Errorf("%+v", p)
	}
	for i, told := range p.Items {
		if told.Number != i+1 {
			t.Errorf("item %d in place %d", told.Number, i+1)
		}
	}
	var data, text, page bytes.Buffer
	if err := errors.Join(p.JSON(&data), p.Markdown(&text), p.HTML(&page)); err != nil {
		t.Fatal(err)
	}
	var back evidence.Page
	if err := json.Unmarshal(data.Bytes(), &back); err != nil || back.Failed != p.Failed {
		t.Errorf("read back %+v: %v", back, err)
	}
	for _, want := range []string{"out of paper", "no ink", "let pass", "refused", `length \| width`} {
		if !strings.Contains(text.String(), want) {
			t.Errorf("no %q in\n%s", want, text.String())
		}
	}
	if strings.Contains(page.String(), "item <b>") || !strings.Contains(page.String(), "item &lt;b&gt;") {
		t.Error("the page does not escape what is written into it")
	}
}
