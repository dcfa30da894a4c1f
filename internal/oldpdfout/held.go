package oldpdfout

import (
	record "reconcile/internal/oldrecord"
)

// checks prints every rating row: those in force, then each set by itself.
func (s *sheet) checks(r *record.Record) {
	var sets []string
	bySet := map[string][]record.Check{}
	for _, c := range r.Checks {
		if c.State == "coupled_tensioned" && r.Outfit.Travels == "plain" {
			continue // a plain outfit has no such state
		}
		if _, seen := bySet[c.Set]; !seen && c.Set != "" {
			sets = append(sets, c.Set)
		}
		bySet[c.Set] = append(bySet[c.Set], c)
	}
	if len(bySet) == 0 {
		return
	}
	if s.pdf.PageNo() == 1 {
		s.page() // page 1 stays the owner's
	}
	s.section("Every load against every rating", record.ChecksRemark, checkGrid(r, bySet[""]))
	for _, set := range sets {
		s.section("Set "+set+": if these ratings applied", record.SetRemark, checkGrid(r, bySet[set]))
	}
}

// checkGrid is the table of some checks.
func checkGrid(r *record.Record, checks []record.Check) *grid {
	g := newGrid(column{"rating", 40, false}, column{"state", 29, false}, column{"limit, kg", 16, true}, column{"value ± U, kg", 26, true},
		column{"margin, kg", 17, true}, column{"chance past limit", 18, true}, column{"hidden mistake, kg", 18, true}, column{"verdict", 28, false})
	g.marked = 7
	for _, c := range checks {
		state := r.StateWord(c.State)
		if c.State == "" {
			state = none
		}
		margin := c.MarginText()
		if margin == "" {
			margin = none
		}
		g.add(r.CheckLabel(c), state, c.LimitText(), c.ValueText(), margin, record.Probability(c.POver), hidden(c), record.CheckVerdictWord(c.Verdict))
		last := &g.rows[len(g.rows)-1]
		last.bold, last.verdict, last.notes = c.Decides, c.Verdict, joined(" · ", c.Notes()...)
	}
	return g
}

// hidden is what a mistake in one reading could do to a value without showing.
func hidden(c record.Check) string {
	switch {
	case c.Verdict == "not_weighed":
		return none
	case !c.Checked:
		return "any"
	}
	return kgOr(c.MistakeEffectKg)
}

// ratings prints the ratings as they were given.
func (s *sheet) ratings(r *record.Record) {
	if len(r.Ratings) == 0 {
		return
	}
	g := newGrid(column{"line", 9, true}, column{"rating", 40, false}, column{"value", 22, true}, column{"applies", 26, false},
		column{"source, certificate", 54, false}, column{"what became of it", 32, false})
	g.notesAt = 1
	for _, q := range r.Ratings {
		label := r.CheckLabel(record.Check{Rating: q.Rating, On: q.On})
		g.add(count(q.Line), label, joined(" ", q.Value, q.Unit), joined(", ", q.Kind, q.When, labelled("set ", q.Set)),
			joined(", ", q.Source, labelled("certificate ", q.Certificate), labelled("certified ", q.CertifiedOn)), record.RatingStatusWord(q.Status))
		g.rows[len(g.rows)-1].notes = q.Note
	}
	s.section("Ratings as given", "", g)
}
