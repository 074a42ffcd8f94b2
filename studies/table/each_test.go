package table

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"onegrain/studies/column"
)

// TestEach: file by file the same rows come as at once, with the columns asked for alone.
func TestEach(t *testing.T) {
	f, err := Create(t.TempDir()+"/r", []byte("title = \"x\"\n"), undrawn, Provenance{})
	if err != nil {
		t.Fatal(err)
	}
	s, err := column.Of("boundaries", nil)
	if err != nil {
		t.Fatal(err)
	}
	for part := range 3 {
		rows := NewFrame(s)
		for k := range 5 {
			if err := rows.Append("case", 1+part*5+k, 1, 2, 3.5, float64(part*5+k), 1.0, true); err != nil {
				t.Fatal(err)
			}
		}
		if _, err := f.Add(rows); err != nil {
			t.Fatal(err)
		}
	}
	var angles []float64
	err = f.Each("boundaries", []string{"disorientation_deg", "case_id", "no such"}, func(file string, rows *Frame) error {
		if len(rows.Schema.Columns) != 2 || rows.Len() != 5 || !strings.HasPrefix(file, "boundaries/part-") {
			t.Errorf("%s: %d columns, %d rows", file, len(rows.Schema.Columns), rows.Len())
		}
		ids, err := rows.Texts("case_id")
		if err != nil || len(ids) != 5 || ids[4] != "case" {
			t.Errorf("%v, %v", ids, err)
		}
		if _, err := rows.Texts("disorientation_deg"); err == nil {
			t.Error("numbers were taken for text")
		}
		x, err := rows.Reals("disorientation_deg")
		angles = append(angles, x...)
		return err
	})
	slices.Sort(angles)
	if err != nil || len(angles) != 15 || angles[0] != 0 || angles[14] != 14 {
		t.Errorf("%v, %v", angles, err)
	}
	enough := errors.New("enough")
	if err := f.Each("boundaries", nil, func(string, *Frame) error { return enough }); !errors.Is(err, enough) {
		t.Errorf("%v", err)
	}
	if err := f.Each("runes", nil, nil); err == nil || !strings.Contains(err.Error(), "no such table") {
		t.Errorf("%v", err)
	}
}
