package evidence

import "testing"

// TestKept: the page that reports carry can be read, and nothing on it fails.
func TestKept(t *testing.T) {
	p, err := Kept()
	if err != nil {
		t.Fatal(err)
	}
	if p.ModelVersion == "" || len(p.Items) < 9 || p.Failed != 0 || p.Agree+p.Reported != p.Findings || p.Findings < 100 {
		t.Errorf("model %q, %d items, %d findings, %d agree, %d reported, %d failed", p.ModelVersion, len(p.Items),
			p.Findings, p.Agree, p.Reported, p.Failed)
	}
	for _, told := range p.Items {
		for _, f := range told.Findings {
			if Judged(f).Verdict != f.Verdict {
				t.Errorf("item %d, %s: kept as %s, judged %s", told.Number, f.Quantity, f.Verdict, Judged(f).Verdict)
			}
		}
	}
}
