package record

import "reconcile/internal/limits"

// tripOf is the verdict over the corners of the loads that vary.
func (m *memory) tripOf(f *limits.Findings) *trip {
	if f.Trip == "" {
		return nil
	}
	trip := &trip{Verdict: string(f.Trip), Checks: []tripCheck{}}
	for i := range f.Checks {
		if f.Checks[i].Worst != nil {
			trip.Checks = append(trip.Checks, m.tripCheckOf(&f.Checks[i]))
		}
	}
	return trip
}

// tripCheckOf is a deciding check at its worst corner.
func (m *memory) tripCheckOf(c *limits.Check) tripCheck {
	row := tripCheck{
		Rating: c.Rating, On: c.On, State: string(c.State), Verdict: string(c.Worst.Verdict), At: []loadMass{},
	}
	row.LimitKg, row.LimitKN = m.limitsOf(c)
	for _, at := range c.Worst.At {
		row.At = append(row.At, loadMass{at.Load, at.Kg.String()})
	}
	if c.Worst.Found == nil {
		return row
	}
	found, other := *c.Worst.Found, c.Worst.Other
	if c.LimitKN.Valid {
		row.ValueKN, row.UKN, row.MarginKN, row.OtherKN = &found.Value, &found.U, &found.Margin, &other
	} else {
		row.ValueKg, row.UKg, row.MarginKg, row.OtherKg = &found.Value, &found.U, &found.Margin, &other
	}
	return row
}

// rangeOf is how tight the bars may be.
func (m *memory) rangeOf(f *limits.Findings) *hitchRange {
	h := f.HitchRange
	if h == nil {
		return nil
	}
	r := &m.hitchRange
	r.LowKg, r.HighKg = m.number(h.LowKg), m.number(h.HighKg)
	r.LowBy, r.HighBy = m.keys.Of(RatingKey(h.LowBy)), m.keys.Of(RatingKey(h.HighBy))
	r.Table = every(m.tensions.List(len(h.Table)))
	for i := range h.Table {
		row := &h.Table[i]
		r.Table[i] = rangeEntry{
			row.Restored, row.FrontKg, row.RearKg, row.TrailerKg, row.UFrontKg, row.URearKg, row.UTrailerKg, string(row.Verdict),
		}
	}
	return r
}
