package record

import (
	"strings"

	"reconcile/internal/adjust"
	"reconcile/internal/derive"
	"reconcile/internal/limits"
	"reconcile/internal/tickets"
)

// AdviceOf says in words what to weigh next and what to take off.
func (r *Record) AdviceOf(job *tickets.Job, a *adjust.Advice) []Advice {
	list := []Advice{}
	for i := range a.Weigh {
		list = append(list, r.weighAdvice(&a.Weigh[i], i > 0))
	}
	for i := range a.Remove {
		list = append(list, r.removeAdvice(&a.Remove[i]))
	}
	if a.Locate != nil {
		list = append(list, r.locateAdvice(job, a.Locate))
	}
	return list
}

// weighAdvice is one further reading; a later one holds with those before it.
func (r *Record) weighAdvice(w *adjust.Weighing, later bool) Advice {
	t := &w.Candidate.Reading
	a := Advice{Kind: "weigh", Setup: string(t.Setup), Hitch: string(t.Hitch), OnDeck: t.OnDeck, For: servedNames(w.Serves)}
	for i := range w.Serves {
		v := &w.Serves[i]
		if v.Check.LimitKN.Valid {
			continue
		}
		then := v.Then
		a.UThen = &then
		if v.Check.Found != nil {
			now := v.Now
			a.UNow = &now
		}
		break
	}
	a.Text = r.weighWords(t) + ": " + r.servesWords(w.Serves)
	if later {
		a.Text = "then " + a.Text
	}
	return a
}

// servedNames spells checks as not_given does, with their states.
func servedNames(serves []adjust.Served) string {
	var names []string
	for i := range serves {
		names = append(names, checkName(&serves[i].Check))
	}
	return strings.Join(names, ", ")
}

func checkName(c *limits.Check) string {
	name := c.Rating
	for _, part := range []string{c.On, string(c.State)} {
		if part != "" {
			name += " " + part
		}
	}
	return name
}

// weighWords says what to do at the weighbridge: "weigh the coupled outfit
// with only the rear axle on the deck".
func (r *Record) weighWords(t *tickets.Reading) string {
	deck := derive.OnDeck(t.Terms)
	switch {
	case deck == "coupling":
		return "weigh the " + r.DownloadLabel() + " with a gauge under the coupling, trailer uncoupled and level"
	case t.Setup == tickets.VehicleAlone && deck == "front+rear":
		return "weigh the whole vehicle uncoupled"
	case t.Setup == tickets.VehicleAlone:
		return "weigh the vehicle uncoupled, with only " + r.onDeckWords(deck) + " on the deck"
	case t.Setup == tickets.TrailerAlone && deck == "trailer+nose":
		return "weigh the whole trailer uncoupled, its jockey wheel on the deck"
	case t.Setup == tickets.TrailerAlone:
		return "weigh the trailer uncoupled, with only " + r.onDeckWords(deck) + " on the deck"
	case deck == "front+rear+trailer":
		return "weigh the whole outfit " + r.setupWord(t)
	}
	hitch := ""
	if word := r.setupWord(t); word != "coupled" {
		hitch = strings.TrimPrefix(word, "coupled")
	}
	return "weigh the coupled outfit" + hitch + ", with only " + r.onDeckWords(deck) + " on the deck"
}

// servesWords says what a reading does for the checks it serves, by need.
func (r *Record) servesWords(serves []adjust.Served) string {
	var parts []string
	var gives []string
	for i := range serves {
		v := &serves[i]
		switch v.Need {
		case adjust.ToDetermine:
			gives = append(gives, r.servedNoun(v)+" to ± "+amount(v, 2*v.Then))
		case adjust.ToSettle:
			parts = append(parts, r.settleWords(v))
		}
	}
	if len(gives) > 0 {
		parts = append([]string{"it gives " + listed(gives)}, parts...)
	}
	if words := r.crossCheckWords(serves); words != "" {
		parts = append(parts, words)
	}
	return strings.Join(parts, "; ")
}

func (r *Record) settleWords(v *adjust.Served) string {
	s := "U of " + r.servedNoun(v) + " falls from " + amount(v, 2*v.Now) + " to " + amount(v, 2*v.Then)
	if v.Solved {
		return s + ", which settles it (" + string(v.Verdict) + ") if it weighs the same"
	}
	return s + ", which does not settle it"
}

// crossCheckWords says what a reading would cross-check, and from which size a
// mistake would show.
func (r *Record) crossCheckWords(serves []adjust.Served) string {
	var names []string
	most := 0.0
	for i := range serves {
		v := &serves[i]
		if v.Need != adjust.ToCrossCheck {
			continue
		}
		names = append(names, r.servedNoun(v))
		if v.MistakeKg != nil && !v.Check.LimitKN.Valid {
			most = max(most, *v.MistakeKg)
		}
	}
	if len(names) == 0 {
		return ""
	}
	s := "it cross-checks " + listed(names)
	if most > 0 {
		s += ": a mistake worth more than " + Kg(most) + " kg would show"
	}
	return s
}

// servedNoun names the load of a check with its state.
func (r *Record) servedNoun(v *adjust.Served) string {
	c := checkOf(&v.Check)
	noun := r.loadNoun(c)
	if c.State != "" {
		noun += " (" + r.StateWord(c.State) + ")"
	}
	return noun
}

// amount prints an expanded uncertainty in the check's unit.
func amount(v *adjust.Served, expanded float64) string {
	if v.Check.LimitKN.Valid {
		return kn(max(expanded, 0.01)) + " kN"
	}
	return Kg(max(expanded, 1)) + " kg"
}

// removeAdvice says what has to come off, and what the rating would have to be.
func (r *Record) removeAdvice(m *adjust.Removal) Advice {
	c := checkOf(&m.Check)
	a := Advice{Kind: "remove", For: checkName(&m.Check)}
	if c.UKg != nil {
		now := *c.UKg
		a.UNow = &now
	}
	figures := c.ValueText() + " against " + c.LimitText() + " kg"
	kg := Kg(r.excessKg(c)) // the headline's figure, not rounded up once more
	if m.Check.Lower {
		a.Text = "put at least " + kg + " kg more on the coupling: " + figures
		return a
	}
	a.Text = "take at least " + kg + " kg off " + r.placeNoun(c) + ": " + figures
	if m.NeededKg != nil {
		a.Text += "; the rating would have to be " + Kg(*m.NeededKg) + " kg"
	}
	return a
}

// locateAdvice says which reading would tell apart those that disagree alike.
func (r *Record) locateAdvice(job *tickets.Job, l *adjust.Location) Advice {
	t := &l.Candidate.Reading
	name := func(i int) string { return r.ReadingName(job.Readings[i].Line, job.Readings[i].Column) }
	var apart, all []string
	for _, i := range l.Separable {
		apart = append(apart, name(i))
	}
	for _, i := range l.Readings {
		all = append(all, name(i))
	}
	text := r.weighWords(t) + ": it would show whether the mistake is in " + strings.Join(all, " or ")
	if len(apart) < len(all) {
		text = r.weighWords(t) + ": it would show whether the mistake is in " + strings.Join(apart, " or ")
	}
	return Advice{Kind: "weigh", Setup: string(t.Setup), Hitch: string(t.Hitch), OnDeck: t.OnDeck, For: "mistake", Text: text}
}
