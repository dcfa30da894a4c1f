package pdfout

import (
	"reconcile/internal/record"
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
	s.heading("Every load against every rating", 30)
	s.para(noteStyle, side, s.wide(), "Bold rows decide. Hidden mistake: by how much a mistake in one reading could shift the value without showing; any: nothing cross-checks it.")
	s.gap(1)
	s.table(checkGrid(r, bySet[""]))
	for _, set := range sets {
		s.heading("Set "+set+": if these ratings applied", 30)
		s.para(style{body, false, black}, side, s.wide(), "A plan, not a finding: the verdict of this summary stays that of the ratings in force.")
		s.gap(1)
		s.table(checkGrid(r, bySet[set]))
	}
}

// checkGrid is the table of some checks.
func checkGrid(r *record.Record, checks []record.Check) *grid {
	g := newGrid(column{"rating", 42, false}, column{"state", 29, false}, column{"limit, kg", 16, true}, column{"value ± U, kg", 24, true},
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
		g.add(r.CheckLabel(c), state, c.LimitText(), c.ValueText(), margin, probability(c.POver), hidden(c), record.CheckVerdictWord(c.Verdict))
		last := &g.rows[len(g.rows)-1]
		last.bold, last.verdict, last.notes = c.Decides, c.Verdict, checkNotes(c)
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

// checkNotes is what else is to be known of a check.
func checkNotes(c record.Check) string {
	var notes []string
	note := func(say bool, text string) {
		if say {
			notes = append(notes, text)
		}
	}
	note(!c.Decides && c.Set == "", "listed, does not decide")
	note(c.OnlyTensioned, "passes only because the hitch is tensioned")
	note(c.HeldAgainst != "", "held against "+c.HeldAgainst)
	note(c.Assumed != "", "assumed: "+c.Assumed)
	note(c.NeededKg != nil, "rating needed "+kgOr(c.NeededKg)+" kg")
	note(c.Source != "", "source: "+c.Source)
	return joined(" · ", notes...)
}

// ratingStatus says what became of a line of the ratings.
var ratingStatus = map[string]string{
	"held": "held against", "none": "looked for, not found", "replaced": "superseded, not held", "not_in_force": "not yet in force, not held",
	"other_kind": "other kind of brakes, not held", "displaced": "replaced by a line for this state",
}

// ratings prints the ratings as they were given.
func (s *sheet) ratings(r *record.Record) {
	if len(r.Ratings) == 0 {
		return
	}
	s.heading("Ratings as given", 25)
	g := newGrid(column{"line", 9, true}, column{"rating", 40, false}, column{"value", 22, true}, column{"applies", 26, false},
		column{"source, certificate", 54, false}, column{"what became of it", 32, false})
	g.notesAt = 1
	for _, q := range r.Ratings {
		label := r.CheckLabel(record.Check{Rating: q.Rating, On: q.On})
		g.add(count(q.Line), label, joined(" ", q.Value, q.Unit), joined(", ", q.Kind, q.When, labelled("set ", q.Set)),
			joined(", ", q.Source, labelled("certificate ", q.Certificate), labelled("certified ", q.CertifiedOn)), orWord(ratingStatus, q.Status))
		g.rows[len(g.rows)-1].notes = q.Note
	}
	s.table(g)
}

// orWord is the words for a code, or the code where there are none.
func orWord(words map[string]string, code string) string {
	if w, ok := words[code]; ok {
		return w
	}
	return code
}
