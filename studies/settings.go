package studies

import (
	"fmt"
	"slices"
	"strings"

	"onegrain/studies/border"
	"onegrain/studies/laws"
)

// Settings is what the study says, key by key, as it would read in a file: with what its material
// brings and with the defaults of keys that stand once in a study. Comments and layout are gone. A
// varied key has the text "varied"; its values stand under vary.N. An outline is told by its hash.
func (s *Study) Settings() map[string]string {
	top := append([]string{"title", "magnet", "random", "vary", "design", "keep"}, border.Sections()...)
	all := map[string]string{}
	for line := range strings.Lines(s.doc.Canonical(top...)) {
		if key, value, ok := strings.Cut(strings.TrimSuffix(line, "\n"), " = "); ok {
			all[key] = value
		}
	}
	for _, f := range schema() {
		if all[f.Key] == "" && f.Default != nil && !strings.Contains(f.Key, "#") {
			all[f.Key] = fmt.Sprintf("%#v", f.Default)
		}
	}
	for _, key := range s.Keys() {
		all[key] = "varied"
	}
	if m := s.Melt(); m != nil {
		all[laws.LawFile] = "laws " + m.Hash
	}
	if s.record != "" {
		all["schedule.file"] = s.record
	}
	if s.outline != "" {
		all["body.file"] = s.outline
	}
	return all
}

// Decides tells whether a key is one of those that decide the results of cases.
func Decides(key string) bool {
	root, _, _ := strings.Cut(key, ".")
	return key != "material.base" && slices.Contains(border.Sections(), root)
}
