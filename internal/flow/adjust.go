package flow

import (
	"slices"

	"reconcile/internal/adjust"
	"reconcile/internal/derive"
	"reconcile/internal/limits"
	"reconcile/internal/record"
	"reconcile/internal/tickets"
	"reconcile/internal/words"
)

// Adjusted is what to move and what to leave behind in one job: the record
// with its plan, the plan as a line of JSON and in words, and whether a question
// that affects the plan is not answered.
type Adjusted struct {
	Record *record.Record
	Line   []byte
	Text   words.PlanText
	Asks   bool
}

// Adjust plans one job; with a set, as if its planned ratings applied. It asks
// stop, where there is one, between the steps of its search, and returns
// [context.Canceled] once that has said yes.
func Adjust(job *tickets.Job, o Options, stop func() bool) (*Adjusted, error) {
	s, err := derive.Solve(job, derive.Options{})
	if err != nil {
		return nil, err
	}
	made := record.Made{Program: o.Program, Options: optionsOf(job, o)}
	found := limits.Find(job, s, limits.Options{Rule: limits.Rule(made.Options.Rule)})
	p, err := adjust.Find(job, s, found, adjust.Options{Set: o.Set, Stop: stop})
	if err != nil {
		return nil, err
	}
	r := record.Build(made, job, s, found, record.Beyond{Plan: p})
	line, err := record.Line(r.Plan)
	asks := slices.ContainsFunc(r.Questions, func(q record.Question) bool {
		return !q.Answered && (q.Args == nil || q.Args.Set == "" || q.Args.Set == o.Set)
	})
	facts := planFacts(r.Plan, p, found, adjust.Modifications(job, s, found))
	return &Adjusted{Record: r, Line: line, Text: words.Of(r).PlanText(facts), Asks: asks}, err
}

// planFacts is what is said of a plan beyond its document.
func planFacts(doc *record.Plan, p *adjust.Plan, f *limits.Findings, instead []adjust.Modification) words.PlanFacts {
	facts := words.PlanFacts{
		Plan: doc, Set: p.Set, Why: string(p.Why), Offered: p.Offered, Opposed: p.Opposed,
		BoundLeft: p.Bound.Left.String(), BoundMoved: p.Bound.Moved.String(),
		Moves: planMoves(p.Moves), Nearest: planMoves(p.Nearest), Against: record.BlockingOf(p.Against),
	}
	for _, n := range p.NotOffered {
		facts.NotOffered = append(facts.NotOffered, words.NotOffered(n))
	}
	for i := range instead {
		facts.Instead = append(facts.Instead, modification(&instead[i]))
	}
	for _, c := range f.Deciding(p.Set) {
		if c.Verdict == limits.NotWeighed {
			facts.ToWeigh = append(facts.ToWeigh, record.KeyOf(c))
		}
	}
	return facts
}

func planMoves(moves []adjust.Move) []words.PlanMove {
	var all []words.PlanMove
	for i := range moves {
		m := words.PlanMove{Move: record.MoveOf(&moves[i]), Whole: moves[i].Whole}
		for _, r := range moves[i].Relief {
			m.Relief = append(m.Relief, words.Relief{CheckKey: record.KeyOf(r.Check), Kg: r.Kg, KN: r.Check.LimitKN.Valid})
		}
		all = append(all, m)
	}
	return all
}

func modification(m *adjust.Modification) words.Modification {
	row := words.Modification{Set: m.Set, MassKg: m.MassKg.String(), Conflict: m.Verdict == limits.JobConflict}
	for _, c := range m.Remains {
		row.Remains = append(row.Remains, record.CheckOf(c))
	}
	return row
}
