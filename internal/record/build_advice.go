package record

import (
	"reconcile/internal/adjust"
	"reconcile/internal/limits"
	"reconcile/internal/tickets"
)

// adviceOf lists what to do next: what to compare, to weigh, to take off, to
// look at and to find. The first check that a reading serves gives its u.
func (m *memory) adviceOf(job *tickets.Job, f *limits.Findings, a *adjust.Advice) []Advice {
	list := []Advice{}
	if len(a.Compare) > 0 {
		row := adviceRow("compare")
		row.Among = placesOf(job, a.Compare)
		list = append(list, row)
	}
	if l := a.Locate; l != nil {
		row := toWeigh(&l.Reading)
		row.Among, row.Shows = placesOf(job, l.Readings), placesOf(job, l.Separable)
		list = append(list, row)
	}
	list = append(list, m.weighRows(a)...)
	for i := range a.Remove {
		list = append(list, m.removeRow(&a.Remove[i]))
	}
	for _, i := range a.Look {
		row, q := adviceRow("look"), &f.Questions[i]
		row.File, row.Line, row.Code = q.File, q.Line, q.Code
		list = append(list, row)
	}
	if len(f.NotGiven) > 0 {
		row := adviceRow("rating")
		row.Ratings = m.ratingKeys(f.NotGiven)
		list = append(list, row)
	}
	return list
}

func adviceRow(kind string) Advice {
	return Advice{Kind: kind, For: []served{}, Among: []Place{}, Shows: []Place{}, Ratings: []RatingKey{}}
}

func placesOf(job *tickets.Job, readings []int) []Place {
	places := []Place{}
	for _, i := range readings {
		places = append(places, placeOf(job, i))
	}
	return places
}

// toWeigh is a further reading.
func toWeigh(r *tickets.Reading) Advice {
	row := adviceRow("weigh")
	row.Setup, row.Hitch = r.State.Cells()
	row.OnDeck = r.OnDeck
	return row
}

// weighRows are the further readings, and what each does for which checks.
func (m *memory) weighRows(a *adjust.Advice) (rows []Advice) {
	for i := range a.Weigh {
		row := toWeigh(&a.Weigh[i].Reading)
		for k := range a.Weigh[i].Serves {
			v := &a.Weigh[i].Serves[k]
			s, then := servedCheck(&v.Check, string(v.Need)), v.Then
			s.Solved, s.Verdict = v.Solved, string(v.Verdict)
			switch {
			case then <= 0:
			case v.Check.LimitKN.Valid:
				s.UThenKN = &then
			default:
				s.UThenKg, s.MistakeEffectKg = &then, m.number(v.MistakeKg)
			}
			row.For = append(row.For, s)
			if row.UThenKg == nil && s.UThenKg != nil {
				row.UNowKg, row.UThenKg = s.UNowKg, s.UThenKg
			}
		}
		rows = append(rows, row)
	}
	return rows
}

// servedCheck names a check with its uncertainty now.
func servedCheck(c *limits.Check, need string) served {
	s := served{Rating: c.Rating, On: c.On, State: string(c.State), Need: need}
	if c.Found == nil {
		return s
	}
	now := c.Found.U
	if c.LimitKN.Valid {
		s.UNowKN = &now
	} else {
		s.UNowKg = &now
	}
	return s
}

// removeRow is a check of whose load something has to come off.
func (m *memory) removeRow(c *limits.Check) Advice {
	row := adviceRow("remove")
	s := servedCheck(c, string(c.Verdict))
	row.For, row.UNowKg, row.Kg, row.NeededKg = append(row.For, s), s.UNowKg, m.number(c.ExcessKg), m.number(c.NeededKg)
	return row
}
