package mistakes

import "slices"

// lengthMistakes: a length is wrong, or the outfit was not level: a tie is
// left out, or all ties that use one length.
// A tie is a moment equation of loads and a ratio of lengths; left out, the other
// equations have to agree without it, and what they then say of its loads shows
// how wrong the ratio was.
func (s *search) lengthMistakes() []hypothesis {
	var all []hypothesis
	for _, i := range s.ties {
		all = append(all, s.leavingOut("tie", []string{s.Observations[i].Name}))
	}
	// A length of one tie is that tie, tried above; lengths that share all their
	// ties explain the same and are tried as one.
	var seen [][]string
	for _, l := range s.lengths {
		ties := s.tiesUsing(l)
		known := slices.ContainsFunc(seen, func(t []string) bool { return slices.Equal(t, ties) })
		if len(ties) > 1 && !known {
			seen = append(seen, ties)
			all = append(all, s.leavingOut("length", ties))
		}
	}
	return all
}

// leavingOut is the hypothesis that some ties do not hold. Which length it is that
// is wrong shows only where just these ties use it.
func (s *search) leavingOut(which string, names []string) hypothesis {
	h := hypothesis{
		Mistake: Mistake{Kind: lengthWrong, Scope: oneLength, Ties: names},
		prior:   priorOf(lengthWrong, which, 1), without: map[string]bool{},
	}
	for _, l := range s.lengths {
		// Part of one of these ties and of a further one, a length would have
		// spoilt that one as well.
		if slices.Equal(s.tiesUsing(l), names) {
			h.Lengths = append(h.Lengths, l)
		}
	}
	for _, i := range s.ties {
		if name := s.Observations[i].Name; slices.Contains(names, name) {
			h.touched = append(h.touched, i)
			h.without[name] = true
		}
	}
	return h
}

// addLengths adds those of a tie, each once.
func (s *search) addLengths(of []string) {
	for _, l := range of {
		if !slices.Contains(s.lengths, l) {
			s.lengths = append(s.lengths, l)
		}
	}
}

// tiesUsing names the ties in force whose ratio a length is part of: a wrong
// length spoils them all.
func (s *search) tiesUsing(length string) []string {
	var names []string
	for _, i := range s.ties {
		if slices.Contains(s.Observations[i].Lengths, length) {
			names = append(names, s.Observations[i].Name)
		}
	}
	return names
}
