package mistakes

import (
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// Each kind of mistake: what it was and what it should be, as codes or as typed.
func TestWhatAMistakeWas(t *testing.T) {
	kg := func(s string) decimal.Decimal { return decimal.RequireFromString(s) }
	was := tickets.Reading{Line: 7, Ticket: "3", State: tickets.CoupledSlack, OnDeck: "all", Typed: "2.84", Unit: "t", Kg: kg("2840"),
		Terms: []tickets.Term{{Group: tickets.Trailer}, {Group: tickets.Nose}}}
	for _, c := range []struct {
		kind               kind
		change             func(is *tickets.Reading, m *Mistake)
		from, should, unit string
	}{
		{"digits_swapped", func(is *tickets.Reading, _ *Mistake) { is.Typed, is.Kg = "2.48", kg("2480") }, "2.84", "2.48", "t"},
		{unitWrong, func(is *tickets.Reading, _ *Mistake) { is.Unit = "lb" }, "t", "lb", "t"},
		{unitWrong, func(is *tickets.Reading, _ *Mistake) { is.Kg = kg("2.84") }, "2840", "2.84", "kg"},
		{hitchWrong, func(is *tickets.Reading, _ *Mistake) { is.State = tickets.CoupledTensioned }, "slack", "tensioned", ""},
		{loadWrong, func(_ *tickets.Reading, m *Mistake) { m.OnBoard = true }, "not_on_board", "on_board", ""},
		{loadWrong, func(*tickets.Reading, *Mistake) {}, "on_board", "not_on_board", ""},
		{setupWrong, func(is *tickets.Reading, _ *Mistake) { is.State = tickets.TrailerAlone }, "coupled_slack", "trailer_alone", ""},
		{setupWrong, func(is *tickets.Reading, _ *Mistake) { is.State = tickets.CoupledTensioned }, "coupled_slack", "coupled_tensioned", ""},
		{setupWrong, func(is *tickets.Reading, _ *Mistake) { is.Terms = is.Terms[:1] }, "trailer+nose", "trailer", ""},
		{calculated, func(is *tickets.Reading, _ *Mistake) { is.Used, is.Calculated = false, true }, "yes", "calculated", ""},
	} {
		is := was
		m := Mistake{Kind: c.kind, Readings: []int{0}, Load: unlistedPerson}
		c.change(&is, &m)
		m.Job = &tickets.Job{Readings: []tickets.Reading{is}}
		m.say(&tickets.Job{Readings: []tickets.Reading{was}})
		if m.Was != c.from || m.Should != c.should || m.Unit != c.unit || m.Load != "" {
			t.Errorf("%s: was %q should %q in %q, load %q (want %q, %q, %q, none)", c.kind, m.Was, m.Should, m.Unit, m.Load, c.from, c.should, c.unit)
		}
	}
}
