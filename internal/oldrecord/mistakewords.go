package record

import (
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// MistakesOf says the likely mistakes of a job in words, in the order and
// with the ranks they were found: from the second of those that explain equally
// well on, each says so. None is applied.
func (r *Record) MistakesOf(job *tickets.Job, found []derive.Mistake) []Mistake {
	list := []Mistake{}
	for i := range found {
		m := &found[i]
		row := Mistake{Kind: string(m.Kind), What: r.mistakeText(job, m), PValue: m.P}
		if len(m.Readings) > 0 {
			row.Line = job.Readings[m.Readings[0]].Line
			row.ReadingKg = m.Job.Readings[m.Readings[0]].Kg.String()
		}
		if i > 0 && found[i-1].Rank == m.Rank {
			row.What = "as likely: " + row.What
		}
		if !m.Tested {
			row.What += " (nothing would then be left to test it)"
		}
		list = append(list, row)
	}
	return list
}

// mistakeText says what would be wrong, and what would then be right.
func (r *Record) mistakeText(job *tickets.Job, m *derive.Mistake) string {
	switch m.Kind {
	case derive.DigitsSwapped:
		return "two digits are swapped: " + figures(job, m)
	case derive.DigitWrong:
		return "one digit is wrong: " + figures(job, m)
	case derive.UnitWrong:
		return unitText(job, m)
	case derive.Exchanged:
		other := &job.Readings[m.Readings[1]]
		return "its figure and that of " + r.ReadingName(other.Line, other.Column) + " are exchanged"
	case derive.HitchWrong:
		return hitchText(m) + inAll(job, m)
	case derive.LoadWrong:
		return loadText(job, m) + inAll(job, m)
	case derive.SetupWrong:
		return r.setupText(job, m) + inAll(job, m)
	case derive.Calculated:
		return "it is a total or a net that the ticket prints, and nobody weighed it (use: calculated)"
	case derive.LengthWrong:
		return lengthText(m)
	}
	return string(m.Kind)
}

// figures says what a reading says and what would agree.
func figures(job *tickets.Job, m *derive.Mistake) string {
	i := m.Readings[0]
	return "it says " + asTyped(&job.Readings[i]) + ", and " + asTyped(&m.Job.Readings[i]) + " would agree"
}

// asTyped prints a figure in its own unit.
func asTyped(r *tickets.Reading) string {
	text, unit := r.Typed, r.Unit
	if text == "" {
		text, unit = r.Kg.String(), "kg"
	}
	if d, err := decimal.NewFromString(text); err == nil && d.IsInteger() {
		text = grouped(d.String())
	}
	if unit == "" {
		unit = "kg"
	}
	return text + " " + unit
}

func unitText(job *tickets.Job, m *derive.Mistake) string {
	was, is := &job.Readings[m.Readings[0]], &m.Job.Readings[m.Readings[0]]
	unit := was.Unit
	if unit == "" {
		unit = "kg"
	}
	if unit == is.Unit {
		return "it is 1,000 times too large" + inAll(job, m)
	}
	if len(m.Readings) > 1 {
		return "the unit is wrong: it says " + unit + ", and " + is.Unit + " would agree" + inAll(job, m)
	}
	return "the unit is wrong: " + figures(job, m)
}

func hitchText(m *derive.Mistake) string {
	if m.Job.Readings[m.Readings[0]].Hitch == tickets.Tensioned {
		return "the hitch was tensioned, not slack"
	}
	return "the hitch was slack, not tensioned"
}

// inAll says that a mistake is in more than one figure, and in which.
func inAll(job *tickets.Job, m *derive.Mistake) string {
	if len(m.Readings) < 2 {
		return ""
	}
	first := &job.Readings[m.Readings[0]]
	if m.Scope == derive.OneLine {
		return ", in all of line " + strconv.Itoa(first.Line)
	}
	var lines []string
	for _, i := range m.Readings {
		lines = addOnce(lines, strconv.Itoa(job.Readings[i].Line))
	}
	return ", in lines " + listed(lines) + " of ticket " + first.Ticket
}

func loadText(job *tickets.Job, m *derive.Mistake) string {
	was := " was not aboard, against the form"
	if m.Aboard {
		was = " was aboard after all"
	}
	if m.Load != derive.UnlistedPerson {
		return strconv.Quote(m.Load) + was
	}
	switch {
	case job.Readings[m.Readings[0]].Setup == tickets.TrailerAlone:
		return "somebody of about 80 kg stood in the trailer or on the deck"
	case m.Aboard:
		return "somebody of about 80 kg was aboard whom the forms do not name"
	}
	return "somebody of about 80 kg was not aboard who is when travelling"
}

// setupText says what stood on the deck instead, or how it was weighed.
func (r *Record) setupText(job *tickets.Job, m *derive.Mistake) string {
	was, is := &job.Readings[m.Readings[0]], &m.Job.Readings[m.Readings[0]]
	if was.Setup != is.Setup {
		return "it was weighed " + r.setupWord(is) + ", not " + r.setupWord(was)
	}
	switch before, now := derive.OnDeck(was.Terms), derive.OnDeck(is.Terms); {
	case before == "trailer+nose" && now == "trailer":
		return "the jockey wheel stood off the deck"
	case before == "trailer" && now == "trailer+nose":
		return "the jockey wheel stood on the deck"
	default:
		return r.onDeckWords(now) + " stood on the deck, not " + r.onDeckWords(before)
	}
}

// setupWord says how a reading was weighed.
func (r *Record) setupWord(t *tickets.Reading) string {
	switch t.Setup {
	case tickets.VehicleAlone:
		return "with the vehicle uncoupled"
	case tickets.TrailerAlone:
		return "with the trailer uncoupled"
	}
	state := "coupled_slack"
	if t.Hitch == tickets.Tensioned {
		state = "coupled_tensioned"
	}
	return r.StateWord(state)
}

// onDeckWords says the supports of a deck: "the front axle and the rear axle".
func (r *Record) onDeckWords(onDeck string) string {
	var words []string
	for _, term := range strings.Split(onDeck, "+") {
		if term == "coupling" {
			words = append(words, "the coupling")
			continue
		}
		words = append(words, "the "+r.SupportWord(term))
	}
	return listed(words)
}

// lengthText names the lengths that bear on what does not fit, and what else
// may be the cause.
func lengthText(m *derive.Mistake) string {
	level := "the outfit did not stand level, or an axle group did not share its load"
	if len(m.Lengths) == 0 {
		return level
	}
	var words []string
	for _, l := range m.Lengths {
		words = append(words, strings.ReplaceAll(l, "_", " "))
	}
	if len(words) == 1 {
		return "the length " + words[0] + " is wrong, or " + level
	}
	return "a length is wrong (" + strings.Join(words, " or ") + "), or " + level
}
