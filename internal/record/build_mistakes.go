package record

import (
	"slices"

	"reconcile/internal/derive/mistakes"
	"reconcile/internal/tickets"
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
		Kind: string(m.Kind), File: "tickets.csv", Scope: string(m.Scope), Readings: []Place{}, Places: every(slices.Clone(m.Places)),
		Lengths: every(slices.Clone(m.Lengths)), Rank: m.Rank, Load: m.Load, Was: m.Was, Should: m.Should, Unit: m.Unit,
	}
	if m.Tested {
		p := m.P
		row.PValue = &p
		row.Poorly = m.P < poorP
	}
	for _, i := range m.Readings {
		row.Readings = append(row.Readings, placeOf(job, i))
	}
	if len(m.Readings) == 0 {
		row.File, row.Line = "outfit.csv", job.Outfit.Line
		return row
	}
	was := &job.Readings[m.Readings[0]]
	row.Line, row.Column, row.Ticket, row.OnDeck = was.Line, was.Column, was.Ticket, was.OnDeck
	return row
}

// poorP is the p-value below which readings agree poorly.
const poorP = 0.05
