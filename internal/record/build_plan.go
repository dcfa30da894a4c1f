package record

import "reconcile/internal/adjust"

// PlanOf makes the document of a plan.
func PlanOf(job string, p *adjust.Plan) *Plan {
	doc := &Plan{
		Schema: PlanSchema, Job: job, Found: p.Found, Proved: p.Proved,
		LeftKg: p.Left.String(), MovedKg: p.Moved.String(), Touched: p.Touched,
		Moves: []Move{}, Before: planLoads(p.Before), After: planLoads(p.After), Blocking: []Blocking{},
	}
	for _, m := range p.Moves {
		move := Move{Load: m.Load, From: m.From, Kg: m.Kg.String()}
		if to := m.To; to != "" {
			move.To = &to
		}
		doc.Moves = append(doc.Moves, move)
	}
	for _, b := range p.Blocking {
		doc.Blocking = append(doc.Blocking, Blocking{b.Rating, b.On, string(b.State), b.ExcessKg})
	}
	return doc
}

// planLoads are the deciding loads of a plan.
func planLoads(checks []adjust.Deciding) []PlanLoad {
	rows := []PlanLoad{}
	for _, d := range checks {
		c := d.Check
		row := PlanLoad{Rating: c.Rating, On: c.On, State: string(c.State), Verdict: string(d.Verdict)}
		if c.LimitKN.Valid {
			limit := c.LimitKN.Decimal.String()
			row.LimitKN, row.ValueKN, row.UKN = &limit, &c.Found.Value, &c.Found.U
		} else {
			limit := c.LimitKg.Decimal.String()
			row.LimitKg, row.ValueKg, row.UKg = &limit, &c.Found.Value, &c.Found.U
		}
		rows = append(rows, row)
	}
	return rows
}
