package derive

import "slices"

// tiesOfLength names, for each length, the ties that use it.
var tiesOfLength = []struct {
	length string
	ties   []string
}{
	{lengthW, []string{tieVehicle, tieHitch}},
	{lengthA, []string{tieVehicle, tieHitch}},
	{lengthL, []string{tieNose, tieHitch}},
	{lengthN, []string{tieNose}},
}

// lengthMistakes: a length is wrong, or the outfit stood not level: a tie is
// left out, or all ties that use one length.
func (s *Solution) lengthMistakes() []hypothesis {
	var all []hypothesis
	for i := range s.ties {
		all = append(all, s.leavingOut("tie", []string{s.ties[i].name}))
	}
	var seen [][]string
	for _, l := range tiesOfLength {
		ties := s.inForce(l.ties)
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
func (s *Solution) leavingOut(which string, names []string) hypothesis {
	h := hypothesis{
		Mistake: Mistake{Kind: LengthWrong, Scope: oneLength, Ties: names},
		prior:   priorOf(LengthWrong, which, 1), without: map[string]bool{},
	}
	for _, l := range tiesOfLength {
		if slices.Equal(s.inForce(l.ties), names) {
			h.Lengths = append(h.Lengths, l.length)
		}
	}
	first := len(s.Observations) - len(s.ties)
	for i := range s.ties {
		if slices.Contains(names, s.ties[i].name) {
			h.touched = append(h.touched, first+i)
			h.without[s.ties[i].name] = true
		}
	}
	return h
}

// inForce keeps the ties that the job has.
func (s *Solution) inForce(names []string) []string {
	var in []string
	for i := range s.ties {
		if slices.Contains(names, s.ties[i].name) {
			in = append(in, s.ties[i].name)
		}
	}
	return in
}
