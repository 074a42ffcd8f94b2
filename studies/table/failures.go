package table

import (
	"bytes"
	"encoding/json"
)

// Failures are the first ones that were noted, at most so many, and how many there are in all. A
// line that a kill has cut short does not count.
func (f *Folder) Failures(most int) (first []Failure, all int, err error) {
	data, err := f.disk.ReadFile(f.path(failuresName))
	for line := range bytes.Lines(data) {
		var one Failure
		if json.Unmarshal(line, &one) != nil || one.CaseID == "" {
			continue
		}
		if all++; all <= most {
			first = append(first, one)
		}
	}
	return first, all, unlessAbsent(err)
}
