package column

import (
	"reflect"
	"strconv"
	"strings"
)

// field is where a column finds its value in a row.
type field struct {
	kind  Kind
	of    func(row reflect.Value) reflect.Value
	empty string // nan or zero, as in columns.txt
}

// gather notes the plain values of a type by their names, squeezed: those of a structure or an
// array within it behind its own name, of a structure also without it.
func gather(all map[string]field, t reflect.Type, name string, of func(row reflect.Value) reflect.Value) {
	switch t.Kind() {
	case reflect.Struct:
		for i := range t.NumField() {
			inner, f := func(row reflect.Value) reflect.Value { return of(row).Field(i) }, t.Field(i)
			gather(all, f.Type, name+squeezed(f.Name), inner)
			if f.Type.Kind() == reflect.Struct {
				gather(all, f.Type, name, inner)
			}
		}
	case reflect.Array:
		for i := range t.Len() {
			gather(all, t.Elem(), name+strconv.Itoa(i), func(row reflect.Value) reflect.Value { return of(row).Index(i) })
		}
	default:
		kinds := map[reflect.Kind]Kind{reflect.Int: Int, reflect.Float64: Real, reflect.String: Text, reflect.Bool: Flag}
		all[name] = field{kind: kinds[t.Kind()], of: of}
	}
}

// squeezed is a name without what a column and a field write differently.
func squeezed(name string) string {
	return strings.ToLower(strings.ReplaceAll(strings.ReplaceAll(name, "_", ""), ".", ""))
}
