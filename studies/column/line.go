package column

// line is a column and the function that takes its value from a row.
type line struct {
	Column
	value func(row any) any
}

// always is a column that is never empty. R is the row of its table, V makes its kind.
func always[R any, V int | float64 | string | bool](name, unit, means string, value func(*R) V) line {
	var kind Kind
	switch any(*new(V)).(type) {
	case float64:
		kind = Real
	case string:
		kind = Text
	case bool:
		kind = Flag
	}
	return line{Column{name, kind, false, unit, means}, func(row any) any { return value(row.(*R)) }}
}

// maybe is a column that may be empty: where the value is NaN, and all of a run that failed.
func maybe[R any, V int | float64 | string | bool](name, unit, means string, value func(*R) V) line {
	l := always(name, unit, means, value)
	l.Null = true
	l.value = func(row any) any {
		if run, ok := row.(*Run); ok && run.Status == failed {
			return nil
		}
		return value(row.(*R))
	}
	return l
}

// nonzero is a column that is empty where the value is 0 or "".
func nonzero[R any, V int | string](name, unit, means string, value func(*R) V) line {
	l := maybe(name, unit, means, value)
	l.value = func(row any) any {
		if v := value(row.(*R)); v != *new(V) {
			return v
		}
		return nil
	}
	return l
}
