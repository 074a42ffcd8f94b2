package evidence

import (
	"bytes"
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"onegrain/cmd/evidence/door"
)

// finding expects 10 and has a tolerance of 1.
func finding(found, canary float64) Finding {
	return Finding{Quantity: "length | width", Unit: "mm", Comparison: Comparison{10, found, 1}}.Against("rate +30 %", canary)
}

func TestVerdicts(t *testing.T) {
	for _, c := range []struct {
		f    Finding
		want string
	}{
		{finding(10.5, 13), agrees},
		{finding(11.5, 13), differs},
		{finding(10.5, 11), blind},
		{Finding{Comparison: Comparison{10, 10, 1}}, blind}, // no canary
		{Finding{Comparison: Comparison{10, math.NaN(), 1}}.Against("x", 20), differs},
		{Finding{Comparison: Comparison{10, 10, math.Inf(1)}}.Against("x", 20), differs}, // no tolerance at all
		{Finding{Comparison: Comparison{10, 99, 0}, Reported: true}, reported},
	} {
		if got := judged(c.f); got.Verdict != c.want || got.Failed() != (c.want == differs || c.want == blind) {
			t.Errorf("%+v: %s, wanted %s", c.f, got.Verdict, c.want)
		}
	}
}

// TestPage: an item that breaks off, panics, finds nothing, or has a finding that fails makes the page fail; all forms can be written.
func TestPage(t *testing.T) {
	program, err := door.Open("go", t.TempDir(), 1)
	if err != nil {
		t.Fatal(err)
	}
	item := func(n int, found []Finding, err error) Item {
		return Item{Number: n, Name: "item <" + string(rune('a'+n)) + ">", Check: func(*door.Door, Size) ([]Finding, error) { return found, err }}
	}
	items := []Item{
		item(4, nil, errors.New("out of paper")), item(1, []Finding{finding(10, 13)}, nil), item(3, nil, nil),
		item(2, []Finding{finding(10, 13), finding(10, 10.5), finding(math.NaN(), 13)}, nil),
		{Number: 5, Check: func(*door.Door, Size) ([]Finding, error) { panic("no ink") }},
	}
	p := Run(items, program, Short)
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
	var back Page
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
