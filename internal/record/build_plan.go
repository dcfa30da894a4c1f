package record

import (
	"reconcile/internal/adjust"
	"reconcile/internal/limits"
)

// planOf makes the document of a plan, and what is known beyond it.
func (m *memory) planOf(job string, p *adjust.Plan, f *limits.Findings) *Plan {
	blocking := blockingOf(p)
	return &Plan{
		Schema: planSchema, Job: job, Found: p.Found, Proved: p.Proved,
		LeftKg: p.Left.String(), MovedKg: p.Moved.String(), Touched: p.Touched,
		Moves: movesOf(p.Moves), Before: m.planLoads(p.Before), After: m.planLoads(p.After), Blocking: blocking, Facts: m.planFactsOf(p, f, blocking),
	}
}

// movesOf are moves as a plan has them.
func movesOf(moves []adjust.Move) []Move {
	all := []Move{}
	for _, m := range moves {
		move := Move{Load: m.Load, From: m.From, Kg: m.Kg.String(), Whole: m.Whole}
		if m.To != "" {
			move.To = &m.To
		}
		for _, r := range m.Relief {
			move.Relief = append(move.Relief, relief{checkKeyOf(r.Check), r.Kg, r.Check.LimitKN.Valid})
		}
		all = append(all, move)
	}
	return all
}

// blockingOf are limits that no plan meets, as a plan has them.
func blockingOf(p *adjust.Plan) []Blocking {
	rows := []Blocking{}
	for _, b := range p.Blocking {
		rows = append(rows, Blocking{b.Rating, b.On, string(b.State), b.ExcessKg})
	}
	return rows
}

// planLoads are the deciding loads of a plan.
func (m *memory) planLoads(checks []*limits.Check) []planLoad {
	rows := []planLoad{}
	for _, c := range checks {
		row := planLoad{
			Rating: c.Rating, On: c.On, State: string(c.State), Verdict: string(c.Verdict),
		}
		row.LimitKg, row.LimitKN = m.limitsOf(c)
		value, u := m.floats.Of(c.Found.Value), m.floats.Of(c.Found.U)
		if c.LimitKN.Valid {
			row.ValueKN, row.UKN = value, u
		} else {
			row.ValueKg, row.UKg = value, u
		}
		rows = append(rows, row)
	}
	return rows
}
