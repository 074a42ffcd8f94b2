package report

import "onegrain/analysis/evidence"

// Evidence is the page that the program carries; the error is a fault of how it was built.
func Evidence() (*evidence.Page, error) {
	p, err := evidence.Kept()
	return &p, err
}

// evidence is how the program fares against results found elsewhere.
func (s *Sources) evidence() []Block {
	if s.Evidence == nil {
		return nil
	}
	all := fold("Every finding", s.say("findings")...)
	all.Fold.Screen = true
	return append(s.say("evidence"),
		fold("What each item settles, what it cannot, and what it is compared with", s.say("items")...), all)
}
