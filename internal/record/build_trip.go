package record

import "reconcile/internal/limits"

// tripOf is the verdict over the corners of the loads that vary.
func tripOf(t *limits.Trip) *trip {
	if t == nil {
		return nil
	}
	trip := &trip{Verdict: string(t.Verdict), Checks: []TripCheck{}}
	for i := range t.Checks {
		trip.Checks = append(trip.Checks, tripCheckOf(&t.Checks[i]))
	}
	return trip
}

// tripCheckOf is a deciding check at its worst corner.
func tripCheckOf(c *limits.TripCheck) TripCheck {
	row := TripCheck{
		Rating: c.Check.Rating, On: c.Check.On, State: string(c.Check.State), Verdict: string(c.Verdict), At: []loadMass{},
		LimitKg: typedOf(c.Check.LimitKg), LimitKN: typedOf(c.Check.LimitKN),
	}
	for _, at := range c.At {
		row.At = append(row.At, loadMass{at.Load, at.Kg.String()})
	}
	switch found := c.Found; {
	case found == nil:
	case c.Check.LimitKN.Valid:
		row.ValueKN, row.UKN, row.MarginKN, row.OtherKN = &found.Value, &found.U, &found.Margin, &c.Other
	default:
		row.ValueKg, row.UKg, row.MarginKg, row.OtherKg = &found.Value, &found.U, &found.Margin, &c.Other
	}
	return row
}

// rangeOf is how tight the bars may be.
func rangeOf(h *limits.HitchRange) *hitchRange {
	if h == nil {
		return nil
	}
	low, high := RatingKey(h.LowBy), RatingKey(h.HighBy)
	r := &hitchRange{LowKg: h.LowKg, HighKg: h.HighKg, LowBy: &low, HighBy: &high, Table: []rangeEntry{}}
	for _, row := range h.Table {
		r.Table = append(r.Table, rangeEntry{
			row.Restored, row.FrontKg, row.RearKg, row.TrailerKg, row.UFrontKg, row.URearKg, row.UTrailerKg, string(row.Verdict),
		})
	}
	return r
}
