package report

import "fmt"

// programme of the case that is looked at closely.
func (s *Sources) programme() (out []Block) {
	if s.Shown == nil {
		if s.NoCase != "" {
			out = []Block{{Text: "The programme of the best case is not shown: " + s.NoCase + "."}}
		}
		return out
	}
	text := "Of the best case: "
	switch b := s.Findings.Window.Best; {
	case s.Shown.Best && b != nil && b.Over > 0:
		text = "Of the best setting the case with the middle chance: "
	case !s.Shown.Best:
		text = "No case stands out, so the programme is that of the first one as an example: "
	}
	out = append([]Block{{Text: text + s.Shown.Name + "."}}, s.figures("programme")...)
	return append(out, s.say("stages")...)
}

// hottest is the stage that ends hottest: before it the body is not molten, and undercooling means
// nothing.
func (s *Sources) hottest() (at int) {
	for i, r := range s.Shown.Stages {
		if r.TemperatureC > s.Shown.Stages[at].TemperatureC {
			at = i
		}
	}
	return at
}

// pictures of one run, grown again.
func (s *Sources) pictures() []Block {
	switch {
	case s.Shown == nil || s.Shown.Replicate == 0 && s.Shown.Why == "":
		return nil
	case s.Shown.Replicate == 0:
		return []Block{{Text: "There are no pictures: " + s.Shown.Why + "."}}
	}
	out := []Block{{Text: fmt.Sprintf("One run of %s, replicate %d, grown again for these pictures. "+
		"Another run of the same programme may meet other strays.", s.Shown.Name, s.Shown.Replicate)}}
	if len(s.Shown.Run) > 0 {
		out = append(out, Block{Facts: s.Shown.Run})
	}
	out = append(out, s.figures("pictures")...)
	if len(out) == 1 {
		out = append(out, Block{Text: "None of them could be drawn."})
	}
	return out
}

// field is what the run is worth as a magnet or conductor.
func (s *Sources) field() []Block {
	if s.Shown == nil || len(s.Shown.Magnet) == 0 {
		return nil
	}
	out := []Block{{Text: "Of the same run. The field is an upper bound, for comparing bodies and not for design."},
		{Facts: s.Shown.Magnet}}
	out = append(out, s.figures("field")...)
	return append(out, Block{Heading: "Assumed"}, Block{List: sentences(s.Shown.Assumed)})
}

func sentences(texts []string) (all []string) {
	for _, t := range texts {
		all = append(all, sentence(t))
	}
	return all
}
