package studies

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"
)

// spreadStudy is the small study with both axes as ranges.
func spreadStudy(t *testing.T, design string) *Study {
	t.Helper()
	return load(t, strings.NewReplacer("values = [0.3, 0.5, 1]", "from = 0.2\nto = 0.8\nspacing = \"log\"",
		"values = [6, 12]", "from = 4\nto = 18\n[design]\n"+design).Replace(small))
}

// Cases of a latin or sobol design lie within the ranges, a slice of each axis holds one, on the
// scale of its spacing.
func TestSampledDesigns(t *testing.T) {
	const n = 64
	for _, kind := range []string{"latin", "sobol"} {
		s := spreadStudy(t, fmt.Sprintf("kind = %q\npoints = %d", kind, n))
		held := [2]map[int]bool{{}, {}}
		for _, v := range values(t, s) {
			held[0][int(n*math.Log(v[0].(float64)/0.2)/math.Log(4))] = true
			held[1][int(n*(v[1].(float64)-4)/14)] = true
		}
		if len(held[0]) != n || len(held[1]) != n || held[0][n] || held[1][-1] {
			t.Errorf("%s: %d and %d of %d slices are held", kind, len(held[0]), len(held[1]), n)
		}
		again, other := values(t, spreadStudy(t, fmt.Sprintf("kind = %q\npoints = %d", kind, n))), load(t,
			strings.Replace(string(s.Text), "seed = 3", "seed = 4", 1))
		if !reflect.DeepEqual(again, values(t, s)) {
			t.Errorf("%s: the same study has other cases when it is read again", kind)
		}
		if reflect.DeepEqual(values(t, other), again) {
			t.Errorf("%s: random.seed does not change the cases", kind)
		}
	}
	if a, b := values(t, spreadStudy(t, "kind = \"sobol\"\npoints = 8")), values(t, spreadStudy(t,
		"kind = \"sobol\"\npoints = 16")); !reflect.DeepEqual(a, b[:8]) {
		t.Error("more points of a sobol design do not keep the first")
	}
}

// A saltelli design of k axes makes k + 2 cases of each row: A, B, and A with one column of B, in
// this order; raising the number of rows keeps the first.
func TestSaltelliDesign(t *testing.T) {
	s := spreadStudy(t, "kind = \"saltelli\"\npoints = 4")
	v := values(t, s)
	if len(v) != 4*4 {
		t.Fatalf("%d cases, wanted 4 rows of 4", len(v))
	}
	for row := range 4 {
		a, b, ab1, ab2 := v[4*row], v[4*row+1], v[4*row+2], v[4*row+3]
		if !reflect.DeepEqual(ab1, []any{b[0], a[1]}) || !reflect.DeepEqual(ab2, []any{a[0], b[1]}) || a[0] == b[0] ||
			a[1] == b[1] {
			t.Errorf("row %d: A %v, B %v, AB %v and %v", row, a, b, ab1, ab2)
		}
		for i, want := range []string{"A%d", "B%d", "AB%d.1", "AB%d.2"} {
			if got := s.Places(4*row + i); got != fmt.Sprintf(want, row+1) {
				t.Errorf("row %d, case %d is called %q", row+1, i, got)
			}
		}
	}
	if more := values(t, spreadStudy(t, "kind = \"saltelli\"\npoints = 8")); !reflect.DeepEqual(more[:16], v) {
		t.Error("more rows do not keep the first")
	}
}

// Lists are taken in equal parts and whole numbers with equal weight, both ends included.
func TestSampledLists(t *testing.T) {
	text := strings.NewReplacer("[[seed]]", "[[seed_array]]\nkind = \"row\"\npitch_mm = [1, 0]", "size_mm = [2, 2]",
		"size_mm = [0.5, 0.5]", "schedule.stage.3.rate_K_per_h", "seed_array.1.count", "cooling_rate_K_per_h", "seeds",
		"values = [0.3, 0.5, 1]", "from = 1\nto = 3", "replicates = 12", "replicates = 1", "[6, 12]", "[6, 9, "+
			"12]\n[design]\nkind = \"latin\"\npoints = 36").Replace(small)
	s := load(t, text)
	count := map[any]int{}
	for _, v := range values(t, s) {
		count[v[0]]++
		count[v[1]]++
	}
	if want := map[any]int{int64(1): 12, int64(2): 12, int64(3): 12, 6.0: 12, 9.0: 12, 12.0: 12}; !reflect.DeepEqual(count,
		want) {
		t.Errorf("values and how often: %v, wanted each 12 times", count)
	}
}

// A list in one axis of a saltelli design makes AB the same case as A where both samples have the
// same value.
func TestSaltelliTwins(t *testing.T) {
	s := load(t, strings.NewReplacer("values = [0.3, 0.5, 1]", "values = [0.3, 0.5]", "values = [6, 12]",
		"from = 4\nto = 18\n[design]\nkind = \"saltelli\"\npoints = 16").Replace(small))
	twins := 0
	for row := range 16 {
		a, ab := fmt.Sprintf("A%d", row+1), fmt.Sprintf("AB%d.1", row+1)
		same := s.Values(4 * row)[0] == s.Values(4*row + 1)[0]
		got := strings.Fields(s.Places(4 * row))
		if want := []string{a, ab}; same && !reflect.DeepEqual(got, want) || !same && !reflect.DeepEqual(got, want[:1]) {
			t.Errorf("row %d: A stands at %v, the first column is the same: %v", row+1, got, same)
		}
		if same {
			twins++
		}
	}
	if twins == 0 || twins == 16 {
		t.Errorf("%d of 16 rows have twins: this test sees nothing", twins)
	}
}

// check says so where a sobol design has a number of points that wastes its evenness.
func TestSobolNote(t *testing.T) {
	note := func(design string) string {
		e, err := spreadStudy(t, design).Explain(0)
		if err != nil {
			t.Fatal(err)
		}
		return strings.Join(e.Warnings, "\n")
	}
	if got := note("kind = \"sobol\"\npoints = 100"); !strings.Contains(got, "take points = 64 or 128 rather than 100") {
		t.Errorf("100 points: %q", got)
	}
	if got := note("kind = \"sobol\"\npoints = 128") + note("kind = \"latin\"\npoints = 100"); strings.Contains(got,
		"power of two") {
		t.Errorf("128 points, and 100 of a Latin hypercube: %q", got)
	}
}
