package strict

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
)

// show is a value as it reads in a file; empty for none.
func show(value any) string {
	switch v := value.(type) {
	case nil:
		return ""
	case string:
		return strconv.Quote(v)
	case float64:
		return short(v)
	case time.Time:
		return "a date"
	case map[string]any:
		return "a table"
	case []map[string]any:
		return "an array of tables"
	case []float64:
		return listed(v)
	case []any:
		return listed(v)
	}
	return fmt.Sprint(value)
}

// short is a number in the fewest digits; whole numbers up to ten millions without an exponent.
func short(v float64) string {
	if v == math.Trunc(v) && math.Abs(v) <= 1e7 {
		return strconv.FormatFloat(v, 'f', 0, 64)
	}
	return strings.ToLower(strconv.FormatFloat(v, 'g', -1, 64)) // "nan" and "+inf" read so in a file
}

func listed[T any](values []T) string {
	items := make([]string, len(values))
	for i, v := range values {
		items[i] = show(v)
	}
	return "[" + strings.Join(items, ", ") + "]"
}

// written is a decoded value: unlike the values of a document it still tells 16.0 from 16.
func written(value any) string {
	if v, ok := value.(float64); ok && v == math.Trunc(v) && math.Abs(v) <= 1e7 {
		return strconv.FormatFloat(v, 'f', 1, 64)
	}
	return show(value)
}
