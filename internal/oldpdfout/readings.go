package oldpdfout

import (
	"strings"

	record "reconcile/internal/oldrecord"
)

// readings prints every figure of the tickets beside what it became.
func (s *sheet) readings(r *record.Record) {
	if len(r.Readings) == 0 {
		return
	}
	g := newGrid(column{"line", 8, true}, column{"ticket", 14, false}, column{"time, scale, site", 33, false}, column{"how it stood, on the deck", 29, false},
		column{"entered", 19, true}, column{"how weighed", 19, false}, column{"correction, kg", 18, true}, column{"reconciled, kg", 18, true},
		column{"residual, kg", 15, true}, column{"doubt", 16, true})
	g.notesAt = 1
	for _, v := range r.Readings {
		g.rows = append(g.rows, readingRow(r, v))
	}
	s.section("Readings as entered, and what they became", record.ReadingsRemark, g)
}

func readingRow(r *record.Record, v record.Reading) row {
	entered := cell{joined(" ", v.Reading, v.Unit)}
	if v.ReadingKg != "" && v.Unit != "kg" && v.Unit != "" {
		entered = append(entered, "= "+v.ReadingKg+" kg")
	}
	if v.IntervalKg != "" {
		entered = append(entered, "e "+v.IntervalKg+" kg")
	}
	return row{
		cells: []cell{{count(v.Line)}, {v.Ticket}, paragraphs(v.WeighedAt, joined(", ", v.Scale, v.Site)), paragraphs(standing(r, v), joined(" ", deck(v), columnOf(v)), aboard(v)),
			entered, {v.HowWeighed()}, {signed(v.CorrectionKg)}, {kgOr(v.ReconciledKg)}, {kgOr(v.ResidualKg)}, doubt(v)},
		bold:  v.Suspect,
		notes: readingNotes(r, v),
	}
}

// paragraphs is a cell of two paragraphs, a blank one left out.
func paragraphs(texts ...string) cell {
	var c cell
	for _, t := range texts {
		if t != "" {
			c = append(c, t)
		}
	}
	return c
}

// standing says how the outfit stood when it was weighed.
func standing(r *record.Record, v record.Reading) string {
	if v.Setup != "coupled" {
		return r.StateWord(v.Setup)
	}
	if v.Hitch == "" {
		return r.StateWord("coupled_slack")
	}
	return r.StateWord("coupled_" + v.Hitch)
}

// columnOf names the column a figure stood in, where the deck does not say it.
func columnOf(v record.Reading) string {
	if v.Column == v.OnDeck {
		return ""
	}
	return labelled("column ", v.Column)
}

// deck says what stood on the deck.
func deck(v record.Reading) string { return strings.ReplaceAll(v.OnDeck, "+", " + ") }

// aboard says how many people were in the vehicle.
func aboard(v record.Reading) string {
	if v.People == nil {
		return ""
	}
	return count(*v.People) + " aboard"
}

// doubt is the standardised residual and the smallest mistake that would show.
func doubt(v record.Reading) cell {
	switch {
	case v.Use == "no" || v.Use == "calculated":
		return cell{none}
	case v.Standardised == nil:
		return cell{"untested"}
	}
	c := cell{ratio(v.Standardised)}
	if v.Suspect {
		c[0] += " suspect"
	}
	if v.SmallestDetectableKg != nil {
		c = append(c, kgOr(v.SmallestDetectableKg)+" kg")
	}
	return c
}

// readingNotes is what else stood on the ticket, and the footnotes about it.
func readingNotes(r *record.Record, v record.Reading) string {
	var numbers []int
	for i, f := range r.Footnotes {
		if f.Line == v.Line && f.Code != "equal_share" && f.Code != "rating_not_in_force" {
			numbers = append(numbers, i+1)
		}
	}
	feet := ""
	if len(numbers) > 0 {
		feet = "footnote " + record.Runs(numbers)
		if len(numbers) > 1 {
			feet = "footnotes " + record.Runs(numbers)
		}
	}
	return joined(" · ", labelled("without ", strings.Join(v.Without, ", ")), labelled("with ", strings.Join(v.With, ", ")),
		labelled("vehicle ", v.VehicleID), labelled("trailer ", v.TrailerID), labelled("copy ", v.Copy), v.Note, feet)
}

func labelledKg(kg string) string {
	if kg == "" {
		return ""
	}
	return kg + " kg"
}

// scales prints the weighing instruments as declared.
func (s *sheet) scales(r *record.Record) {
	if len(r.Scales) == 0 {
		return
	}
	g := newGrid(column{"scale", 22, false}, column{"site, operator", 44, false}, column{"class", 12, false}, column{"interval", 16, true}, column{"max", 18, true},
		column{"deck", 20, false}, column{"certificate, verified", 40, false}, column{"stated uncertainty", 26, false})
	for _, c := range r.Scales {
		stated := joined(" ", labelled("U ", labelledKg(c.ExpandedUncertainty)), labelled("at ", labelledKg(c.StatedAt)), labelled("split u ", labelledKg(c.SplitUncertainty)))
		g.rows = append(g.rows, row{cells: []cell{{c.Scale}, paragraphs(c.Site, c.Operator), {c.Class}, {joined(" ", c.Interval, unitOf(c.Interval, c.Unit))}, {joined(" ", c.Max, unitOf(c.Max, c.Unit))},
			{c.Deck}, paragraphs(labelled("certificate ", c.Certificate), labelled("verified ", joined(", ", c.VerifiedOn, age(r, c))), labelled("copy ", c.Copy)), {stated}}})
	}
	s.section("Scales", "", g)
}

func unitOf(figure, unit string) string {
	if figure == "" {
		return ""
	}
	return unit
}

// age says how old the certificate was at the scale's first reading.
func age(r *record.Record, c record.Scale) string {
	for _, v := range r.Readings {
		if v.Scale == c.Scale {
			return days(c.VerifiedOn, v.WeighedAt, r.Options.Region)
		}
	}
	return ""
}
