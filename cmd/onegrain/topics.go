package main

import (
	"fmt"
	"strings"

	"onegrain/studies"
	"onegrain/studies/column"
)

// studyTopic is the page of all keys.
func studyTopic() string {
	return "A study is a TOML file. Every key, with its type, range and default; N counts tables of an array from 1:\n\n" + studies.Reference()
}

// resultsTopic is the page of all tables.
func resultsTopic() string {
	var b strings.Builder
	b.WriteString("Results are Parquet files: read `runs/*.parquet`, `grains/*.parquet` and so on as one table each.\n" +
		"Volumes and areas of a body in a plane are those of its body.thickness_mm; where it is not given they are of a layer of 1 mm.\n")
	for _, name := range column.Tables() {
		s, err := column.Of(name, nil)
		if err != nil {
			continue // every name above is a table
		}
		fmt.Fprintf(&b, "\n%s", name)
		if name == "runs" || name == "cases" {
			b.WriteString(" (and one column for each [[vary]])")
		}
		b.WriteString("\n\n" + s.Markdown())
	}
	return b.String()
}
