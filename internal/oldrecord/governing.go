package record

// deciding gives the checks that decide, in the record's order.
func (r *Record) deciding() []Check {
	all := make([]Check, 0, len(r.Checks))
	for i := range r.Checks {
		if r.Checks[i].Decides {
			all = append(all, r.Checks[i])
		}
	}
	return all
}

// GovCheck gives the deciding check that governs: of those that give the
// verdict, the one of least margin; where none gives it (the readings
// disagree, or only a rating is missing), of all deciding ones. Margins in
// kilograms come before those in kilonewtons, and a check that was not weighed
// comes last among its like. nil: no check decides.
func (r *Record) GovCheck() *Check {
	wanted := r.Verdict
	if wanted == "incomplete" {
		wanted = "not_weighed"
	}
	if c := leastMargin(r.deciding(), wanted); c != nil {
		return c
	}
	return leastMargin(r.deciding(), "")
}

// leastMargin gives the check of least margin among those with a verdict, all
// of them where it is blank; of equal margins the first.
func leastMargin(checks []Check, verdict string) *Check {
	var best *Check
	for i, c := range checks {
		if verdict != "" && c.Verdict != verdict {
			continue
		}
		if best == nil || lessMargin(c, *best) {
			best = &checks[i]
		}
	}
	return best
}

// lessMargin orders checks for leastMargin: kilograms, kilonewtons, nothing.
func lessMargin(a, b Check) bool {
	switch {
	case a.MarginKg != nil && b.MarginKg != nil:
		return *a.MarginKg < *b.MarginKg
	case a.MarginKg != nil || b.MarginKg != nil:
		return a.MarginKg != nil
	case a.MarginKN != nil && b.MarginKN != nil:
		return *a.MarginKN < *b.MarginKN
	}
	return a.MarginKN != nil && b.MarginKN == nil
}

// RatingsHeld counts the rating lines with a deciding row. A record does not
// keep which line a check is of; lines alike in rating, on, limit and source
// count once.
func (r *Record) RatingsHeld() int {
	type line struct{ rating, on, limit, source string }
	lines := map[line]bool{}
	for _, c := range r.deciding() {
		lines[line{c.Rating, c.On, c.LimitText(), c.Source}] = true
	}
	return len(lines)
}

// CrossChecked says whether a mistake in any reading that a deciding check
// rests on would show.
func (r *Record) CrossChecked() bool {
	for _, c := range r.deciding() {
		if !c.Checked && c.Verdict != "not_weighed" {
			return false
		}
	}
	return true
}

// NotWeighed gives the deciding checks without a value, each label and state
// once, in words: "axle rating, rear (coupled)".
func (r *Record) NotWeighed() []string {
	var names []string
	for _, c := range r.deciding() {
		if c.Verdict == "not_weighed" {
			names = addOnce(names, r.checkInState(c))
		}
	}
	return names
}

// checkInState is a check's label with its state in brackets.
func (r *Record) checkInState(c Check) string {
	if c.State == "" {
		return r.CheckLabel(c)
	}
	return r.CheckLabel(c) + " (" + r.StateWord(c.State) + ")"
}

// addOnce adds a word that is not there yet.
func addOnce(words []string, word string) []string {
	for _, w := range words {
		if w == word {
			return words
		}
	}
	return append(words, word)
}
