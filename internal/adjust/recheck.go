package adjust

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/shopspring/decimal"

	"reconcile/internal/adjust/search"
	"reconcile/internal/derive"
	"reconcile/internal/limits"
	"reconcile/internal/portable"
)

// resolution is by how much, in kilograms, a limit may be exceeded when a plan
// is recalculated: 10 g, as far as the loads of a job are settled at all. The
// moment ties weigh a little differently once the download has changed, which
// shifts loads that nothing was moved on by some grams; and a load of 2,760 kg
// less one of 60 kg meets 2,700 kg but for the last bit of the arithmetic.
const resolution = 0.01

// moves writes the parts of a search out, the greatest effect first: those of its plan,
// or where it found none of what leaves the least excess.
func (p *planner) moves(found *search.Result) []Move {
	parts := found.Parts
	if !found.Found {
		parts = found.Conflict.Parts
	}
	var all []Move
	for _, part := range parts {
		it := &p.items[part.Item]
		m := Move{Load: it.load.Name, From: it.load.Place, Kg: it.load.Kg, Whole: true}
		if part.Grams != p.problem.Items[part.Item].Mass {
			m.Kg, m.Whole = decimal.New(part.Grams, -3), false
		}
		if to := it.to[part.Option]; to != nil {
			m.To = to.Name
		}
		m.Relief = p.relief(&m)
		all = append(all, m)
	}
	slices.SortStableFunc(all, func(a, b Move) int {
		return cmp.Or(cmp.Compare(total(b.Relief), total(a.Relief)), b.Kg.Cmp(a.Kg))
	})
	return all
}

// relief is what a move does for every check that is not kept.
func (p *planner) relief(m *Move) []relief {
	var all []relief
	for i := range p.deciding {
		b := &p.bounds[i]
		// Moves are shown for what they mend; what they do to checks that are
		// kept anyway would bury it.
		if b.limit >= 0 {
			continue
		}
		kg := float64(-b.change(p.job.Place(m.From), p.job.Place(m.To)) * m.Kg.InexactFloat64())
		all = append(all, relief{b.check, portable.Kg(kg)})
	}
	return all
}

// total is what a move does for all checks together, by which moves are ordered.
func total(all []relief) float64 {
	sum := 0.0
	for _, r := range all {
		sum += r.Kg
	}
	return sum
}

// recheck derives the moved loads again, with their exact covariance, and
// compares them again. It returns by how much each bound of a check is not
// kept, in kg.
// The search has used linear effects with the uncertainties of the loads as they
// are; a move changes both (a stated mass moves with its u), so that only the new
// solution decides.
func (p *planner) recheck() (short []float64, err error) {
	var moves []derive.Move
	for _, m := range p.plan.Moves {
		moves = append(moves, derive.Move{Load: m.Load, From: m.From, To: m.To, Kg: m.Kg.InexactFloat64()})
	}
	after := p.f
	if len(moves) > 0 {
		s, err := derive.Solve(p.job, derive.Options{Moves: moves})
		if err != nil {
			return nil, fmt.Errorf("job %q: plan recalculated: %w", p.job.Name, err)
		}
		after = p.compareAfter(s)
	}
	return append(p.exceededAfter(after), p.tripExceededAfter(after)...), nil
}

// compareAfter compares the loads after a plan; the corners of a trip only where
// they are limits.
func (p *planner) compareAfter(s *derive.Solution) *limits.Findings {
	o := p.f.Rule
	if len(p.tripChecks()) == 0 {
		return limits.Compare(p.job, s, o)
	}
	return limits.Find(p.planned(), s, o)
}

// exceededAfter finds every deciding check among the new findings.
func (p *planner) exceededAfter(after *limits.Findings) []float64 {
	short := make([]float64, len(p.deciding))
	p.plan.After = nil
	for i, was := range p.deciding {
		now := after.FindCheck(was)
		if now == nil || now.Found == nil {
			short[i] = math.Inf(1) // what had a value has none: nothing to narrow by
			continue
		}
		row := *now
		if over := portable.Kg(float64(excess(now, p.guardOf(now)) * p.bounds[i].unit)); over <= resolution {
			row.Verdict = limits.Within
		} else {
			short[i] = over
		}
		p.plan.After = append(p.plan.After, &row)
	}
	return short
}

// narrow takes what a check was short by, and a little, off its bound; it
// reports whether any was short.
func (p *planner) narrow(short []float64) bool {
	const little = 1e-3 // kg
	any := false
	for i, kg := range short {
		if kg > 0 {
			any = true
			// The search would return to the same plan if its limit stayed; the
			// little more keeps it off the very edge. Of an infinite excess it
			// takes 1,000 t, beyond any row.
			p.problem.Limits[i] -= math.Min(kg, 1e6) + little
		}
	}
	return any
}

// block lists the limits that cannot be met: those that cannot be met
// together, and those that are exceeded when the total excess is least.
func (p *planner) block(found *search.Result) {
	q, c := p.plan, &found.Conflict
	in := map[int]bool{}
	var all []blocking
	for _, r := range c.Rows {
		in[r] = true
		all = append(all, p.blockingOf(r, c.Excess[r]))
	}
	for _, i := range c.Places {
		all = append(all, blocking{Rating: "capacity", On: p.roomy[i]})
	}
	q.Against = make([]int, len(all))
	// Where a place is full the ratings need not oppose each other: more room
	// might do.
	q.Opposed = len(c.Places) == 0 && p.opposed(c.Rows)
	for r, kg := range c.Excess {
		if portable.Kg(kg) > 0 && !in[r] {
			all = append(all, p.blockingOf(r, kg))
		}
	}
	order := make([]int, len(all))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(all[b].ExcessKg, all[a].ExcessKg) })
	q.Blocking = make([]blocking, len(all))
	for to, from := range order {
		q.Blocking[to] = all[from]
		if from < len(q.Against) {
			q.Against[from] = to
		}
	}
}

// blockingOf is a bound with its excess where the total excess is least.
func (p *planner) blockingOf(r int, kg float64) blocking {
	b := p.bounds[r].blocking
	b.ExcessKg = portable.Kg(kg)
	return b
}

// opposed says whether no option of any item brings all of some bounds nearer
// to their limits.
func (p *planner) opposed(rows []int) bool {
	for _, it := range p.items {
		for _, to := range it.to {
			helps := true
			for _, r := range rows {
				helps = helps && p.bounds[r].change(p.job.Place(it.load.Place), to) < 0
			}
			// One option that brings all of them nearer is enough: then mass or
			// room is lacking, not a direction.
			if helps {
				return false
			}
		}
	}
	return true
}
