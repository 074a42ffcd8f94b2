package column

import (
	"maps"
	"math"
	"reflect"
	"strings"
	"testing"
)

// numbered fills every field of a row with a number of its own and tells them by place: the name of
// the field, in lower case, of a list with the place in it. Texts and flags cannot be numbered: a
// text is the name itself.
func numbered(v reflect.Value, name string, all map[string]any) {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			field := name + strings.ToLower(v.Type().Field(i).Name)
			numbered(v.Field(i), field, all)
			for inner, value := range maps.Clone(all) { // what is in a structure may be called without it
				if v.Field(i).Kind() == reflect.Struct && strings.HasPrefix(inner, field) {
					all[strings.TrimPrefix(inner, field)] = value
				}
			}
		}
		return
	case reflect.Array:
		for i := range v.Len() {
			numbered(v.Index(i), name+string(rune('0'+i)), all)
		}
		return
	}
	switch n := 1000 + 10*len(all); v.Kind() {
	case reflect.Int:
		v.SetInt(int64(n))
	case reflect.Float64:
		v.SetFloat(float64(n) + 0.5)
	case reflect.String:
		v.SetString(name)
	case reflect.Bool:
		v.SetBool(true)
	}
	all[name] = v.Interface()
}

// otherwise are the columns that are not called like their fields.
func otherwise() map[string]string {
	return map[string]string{
		"cases.single_grain_probability_exact": "probability", "cases.single_grain_probability_exact_se": "error",
		"cases.expected_strays_exact": "expectedstrays", "cases.never_because": "because",
		"grains.x_mm": "atmm0", "grains.y_mm": "atmm1", "grains.z_mm": "atmm2",
		"grains.sector_a_plus_mm3": "sectormm30", "grains.sector_a_minus_mm3": "sectormm31",
		"grains.sector_b_plus_mm3": "sectormm32", "grains.sector_b_minus_mm3": "sectormm33",
		"grains.sector_c_plus_mm3": "sectormm34", "grains.sector_c_minus_mm3": "sectormm35",
	}
}

// Every column has the value of the field that is called like it, so that two that are swapped are
// noticed.
func TestEveryColumnHasItsOwnField(t *testing.T) {
	rows := map[string]any{"runs": &Run{}, "cases": &Case{}, "grains": &Grain{}, "boundaries": &Boundary{},
		"history": &Moment{}}
	for _, table := range Tables() {
		s, err := Of(table, nil)
		if err != nil {
			t.Fatal(err)
		}
		fields := map[string]any{}
		numbered(reflect.ValueOf(rows[table]).Elem(), "", fields)
		values := s.Row("id", 7, nil, rows[table])
		if len(values) != len(s.Columns) {
			t.Fatalf("%s: %d values for %d columns", table, len(values), len(s.Columns))
		}
		for i, c := range s.Columns {
			field, other := otherwise()[table+"."+c.Name]
			if !other {
				field = strings.ReplaceAll(strings.ToLower(c.Name), "_", "")
			}
			want, ok := fields[field]
			switch table + "." + c.Name {
			case table + ".case_id":
				want, ok = "id", true
			case table + ".replicate":
				want, ok = 7, true
			}
			if !ok || values[i] != want {
				t.Errorf("%s.%s is %v, its field %q %v", table, c.Name, values[i], field, want)
			}
			if kind := map[Kind]any{Int: 0, Real: 0.0, Text: "",
				Flag: false}[c.Kind]; reflect.TypeOf(values[i]) != reflect.TypeOf(kind) {
				t.Errorf("%s.%s is a %T, the column of kind %s", table, c.Name, values[i], c.Kind)
			}
		}
	}
}

func TestWhatDoesNotExistIsEmpty(t *testing.T) {
	check := func(table string, row any, filled ...string) {
		t.Helper()
		s, _ := Of(table, nil)
		got := map[string]bool{}
		for i, v := range s.Row("id", 1, nil, row) {
			x, real := v.(float64)
			got[s.Columns[i].Name] = v != nil && !(real && math.IsNaN(x))
			if !got[s.Columns[i].Name] && !s.Columns[i].Null {
				t.Errorf("%s.%s is empty, and may not be", table, s.Columns[i].Name)
			}
		}
		for _, name := range filled {
			delete(got, name)
		}
		for name, there := range got {
			if there && s.Columns[s.Index(name)].Null {
				t.Errorf("%s.%s has a value", table, name)
			}
		}
	}
	failed := &Run{Status: "failed", WallS: 3}
	failed.Measured.SingleGrain, failed.Measured.StrayGrains = true, 4
	check("runs", failed)
	nan := math.NaN()
	empty := &Case{SingleGrainFraction: nan, SingleGrainFractionLow: nan, SingleGrainFractionHigh: nan,
		ClearDiameterMMMedian: nan, ClearDiameterMMP10: nan, ClearDiameterMMP90: nan, TimeToFullH: nan, ProgrammeH: nan}
	empty.Exact.Probability, empty.Exact.Error, empty.Exact.ExpectedStrays = nan, nan, nan
	l := &empty.OverLaws
	l.SingleGrainChance, l.SingleGrainChanceLow, l.SingleGrainChanceHigh, l.SingleGrainChanceWorse = nan, nan, nan, nan
	l.FamilyShare, l.TimeToFullHLow, l.TimeToFullHHigh = nan, nan, nan
	check("cases", empty)
	check("grains", &Grain{DisorientationDeg: nan})
	check("runs", &Run{Status: "solid"}, "single_grain", "clear_diameter_mm", "clear_square_mm", "clear_volume_mm3",
		"solid_fraction", "stray_grains", "stray_volume_fraction", "first_stray_h", "first_stray_undercooling_K",
		"grain_width_at_first_stray_mm", "time_to_full_h", "sector_a_fraction", "sector_c_fraction", "wall_s")
}

func varied() []Column {
	return []Column{{"cooling_rate_K_per_h", Real, false, "K/h", "varied"}, {"base", Text, false, "", "varied"},
		{"count", Int, false, "1", "varied"}}
}

func TestVariedColumnsMustNotHideOurs(t *testing.T) {
	for _, bad := range []string{"wall_s", "Status", "case_id", ""} {
		if _, err := Of("runs", []Column{{Name: bad, Kind: Real}}); err == nil {
			t.Errorf("varied column %q was accepted", bad)
		}
	}
	if _, err := Of("runs", []Column{{Name: "a", Kind: Real}, {Name: "A", Kind: Real}}); err == nil {
		t.Error("two columns that differ by case only were accepted")
	}
	if _, err := Of("nothing", nil); err == nil || !strings.Contains(err.Error(), "runs, cases, grains") {
		t.Errorf("unknown table: %v", err)
	}
}

func TestVariedColumnsStandBehindTheRun(t *testing.T) {
	values := []any{0.5, "Y123", 3}
	for table, row := range map[string]any{"runs": &Run{}, "cases": &Case{}, "grains": &Grain{}} {
		s, err := Of(table, varied())
		if err != nil {
			t.Fatal(err)
		}
		first := map[string]int{"runs": 2, "cases": 1, "grains": -1}[table]
		if got := s.Index("cooling_rate_K_per_h"); got != first {
			t.Errorf("%s: the first varied column is number %d, wanted %d", table, got, first)
		}
		if got := s.Varied(); len(got) != max(0, 3*min(first, 1)) {
			t.Errorf("%s: varied are %v", table, got)
		}
		if got := s.Row("id", 1, values, row); len(got) != len(s.Columns) || first > 0 &&
			!reflect.DeepEqual(got[first:first+3], values) {
			t.Errorf("%s: a row of %v for %v", table, got, s.Columns)
		}
	}
}

func TestEveryColumnIsDocumented(t *testing.T) {
	units := map[string]string{"mm3": "mm3", "mm2": "mm2", "mm": "mm", "h": "h", "K": "K", "C": "Cel", "deg": "deg",
		"s": "s", "fraction": "1"}
	for _, table := range Tables() {
		s, _ := Of(table, nil)
		for _, c := range s.Columns {
			end := c.Name[strings.LastIndex(c.Name, "_")+1:]
			if u, ok := units[end]; ok && c.Unit != u {
				t.Errorf("%s.%s: unit %q: its name says %q", table, c.Name, c.Unit, u)
			}
			if c.Means == "" || (c.Unit == "") != (c.Kind == Text || c.Kind == Flag) {
				t.Errorf("%s.%s: meaning %q, unit %q", table, c.Name, c.Means, c.Unit)
			}
			if !strings.Contains(s.Markdown(), "| `"+c.Name+"` | "+c.Kind.String()) {
				t.Errorf("%s.%s is missing in the documentation", table, c.Name)
			}
		}
	}
}
