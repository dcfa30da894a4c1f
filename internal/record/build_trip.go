package record

import "reconcile/internal/limits"

// tripOf is the verdict over the corners of the loads that vary.
func tripOf(f *limits.Findings) *trip {
	if f.Trip == "" {
		return nil
	}
	trip := &trip{Verdict: string(f.Trip), Checks: []tripCheck{}}
	for i := range f.Checks {
		if f.Checks[i].Worst != nil {
			trip.Checks = append(trip.Checks, tripCheckOf(&f.Checks[i]))
		}
	}
	return trip
}

// tripCheckOf is a deciding check at its worst corner.
func tripCheckOf(c *limits.Check) tripCheck {
	row := tripCheck{
		Rating: c.Rating, On: c.On, State: string(c.State), Verdict: string(c.Worst.Verdict), At: []loadMass{},
		LimitKg: typedOf(c.LimitKg), LimitKN: typedOf(c.LimitKN),
	}
	for _, at := range c.Worst.At {
		row.At = append(row.At, loadMass{at.Load, at.Kg.String()})
	}
	switch found := c.Worst.Found; {
	case found == nil:
	case c.LimitKN.Valid:
		row.ValueKN, row.UKN, row.MarginKN, row.OtherKN = &found.Value, &found.U, &found.Margin, &c.Worst.Other
	default:
		row.ValueKg, row.UKg, row.MarginKg, row.OtherKg = &found.Value, &found.U, &found.Margin, &c.Worst.Other
	}
	return row
}

// rangeOf is how tight the bars may be.
func rangeOf(f *limits.Findings) *hitchRange {
	h := f.HitchRange
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
