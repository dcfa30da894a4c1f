package record

import (
	"slices"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/derive/mistakes"
	"reconcile/internal/tickets"
)

// Codes of what a Mistake was and should be, where that is no figure.
const (
	onBoard    = "on_board"
	notOnBoard = "not_on_board"
)

// mistakesOf lists the likely mistakes of a job in the order and with the ranks
// they were found. None is applied.
func mistakesOf(job *tickets.Job, found []mistakes.Mistake) []Mistake {
	list := []Mistake{}
	for i := range found {
		list = append(list, mistakeOf(job, &found[i]))
	}
	return list
}

func mistakeOf(job *tickets.Job, m *mistakes.Mistake) Mistake {
	row := Mistake{
		Kind: string(m.Kind), File: "tickets.csv", Scope: string(m.Scope), Readings: []Place{}, Places: every(m.Places),
		Lengths: every(m.Lengths), Rank: m.Rank,
	}
	if m.Tested {
		row.PValue = &m.P
		row.Poorly = m.P < poorP
	}
	if m.Load != mistakes.UnlistedPerson {
		row.Load = m.Load
	}
	for _, i := range m.Readings {
		row.Readings = append(row.Readings, placeOf(job, i))
	}
	if len(m.Readings) == 0 {
		row.File, row.Line = "outfit.csv", job.Outfit.Line
		return row
	}
	was, is := &job.Readings[m.Readings[0]], &m.Job.Readings[m.Readings[0]]
	row.Line, row.Column, row.Ticket, row.OnDeck = was.Line, was.Column, was.Ticket, was.OnDeck
	row.Was, row.Should, row.Unit = change(m, was, is)
	return row
}

// poorP is the p-value below which readings agree poorly.
const poorP = 0.05

// change is what a reading says and what it should say: figures in its unit,
// or codes.
func change(m *mistakes.Mistake, was, is *tickets.Reading) (from, to, unit string) {
	switch m.Kind {
	case mistakes.HitchWrong:
		return string(was.Hitch), string(is.Hitch), ""
	case mistakes.LoadWrong:
		if m.OnBoard {
			return notOnBoard, onBoard, ""
		}
		return onBoard, notOnBoard, ""
	case mistakes.SetupWrong:
		if before, now := stateOf(was), stateOf(is); before != now {
			return before, now, ""
		}
		return derive.OnDeck(was.Terms), derive.OnDeck(is.Terms), ""
	case mistakes.ZeroWrong:
		return "0", decimal.NewFromFloat(m.ZeroKg).Round(0).String(), "kg"
	case mistakes.Calculated:
		return string(tickets.UseYes), string(tickets.UseCalculated), ""
	case mistakes.UnitWrong:
		if was.Unit != is.Unit {
			return was.Unit, is.Unit, was.Unit
		}
		return was.Kg.String(), is.Kg.String(), "kg"
	}
	return figureOf(was), figureOf(is), was.Unit
}

// figureOf is a figure as typed, in its own unit.
func figureOf(t *tickets.Reading) string {
	if t.Typed == "" {
		return t.Kg.String()
	}
	return t.Typed
}

// stateOf is the setup of a reading, with the hitch where it is coupled.
func stateOf(t *tickets.Reading) string {
	switch {
	case t.Setup != tickets.Coupled:
		return string(t.Setup)
	case slices.Contains([]tickets.Hitch{tickets.NoHitch, tickets.Slack}, t.Hitch):
		return string(derive.CoupledSlack)
	}
	return string(derive.CoupledTensioned)
}
