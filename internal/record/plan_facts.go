package record

import (
	"reconcile/internal/adjust"
	"reconcile/internal/limits"
)

// PlanFacts is what is known of a plan beyond its document: why there is none
// or how far it is proved, what each move relieves, and what would do instead.
// Masses are decimal strings of kilograms where the search has them exactly.
type PlanFacts struct {
	Set        string // planned ratings that it is made for; "" for those in force
	Why        string // a reason of package adjust; "" where it is found and proved
	Offered    int    // loads that may move
	Moves      []PlanMove
	Nearest    []PlanMove     // where there is no plan: what leaves the least excess
	Against    []Blocking     // limits that cannot be met together
	Opposed    bool           // no single move brings all of Against nearer to their limits
	BoundLeft  string         // proved: no plan leaves less behind
	BoundMoved string         // proved: of those, none moves less
	NotOffered []notOffered   // loads whose share depends on something missing
	Instead    []modification // sets, and what each would leave
	ToWeigh    []CheckKey     // deciding checks that are not weighed
}

// PlanMove is a move with what it takes off or puts on the checks that were not
// kept.
type PlanMove struct {
	Move
	Whole  bool // all of the load
	Relief []relief
}

// relief is what one move takes off a check's load; negative: puts on. Of a
// lower limit the signs are turned: positive is towards the limit being kept.
type relief struct {
	CheckKey
	Kg float64
	KN bool // a force: the mass whose weight it is
}

// notOffered is a load that is not offered for a move, and what is missing:
// place, or a column of outfit.csv.
type notOffered struct{ Load, To, Missing string }

// modification is what a set of planned ratings would leave.
type modification struct {
	Set      string
	MassKg   string  // of the loads of the set
	Conflict bool    // the readings disagree under it
	Remains  []Check // deciding checks over, unsettled or not weighed
}

// PlanFactsOf gives the facts of a plan, and of what sets of planned ratings
// would do instead.
func PlanFactsOf(p *adjust.Plan, f *limits.Findings) PlanFacts {
	facts := PlanFacts{
		Set: p.Set, Why: string(p.Why), Offered: p.Offered, Opposed: p.Opposed,
		BoundLeft: p.Bound.Left.String(), BoundMoved: p.Bound.Moved.String(),
		Moves: planMoves(p.Moves), Nearest: planMoves(p.Nearest), Against: blockingOf(p.Against),
	}
	for _, n := range p.NotOffered {
		facts.NotOffered = append(facts.NotOffered, notOffered(n))
	}
	for _, m := range p.Instead {
		row := modification{Set: m.Set, MassKg: m.MassKg.String(), Conflict: f.Verdict == limits.Conflict}
		for _, c := range m.Remains {
			row.Remains = append(row.Remains, checkOf(c))
		}
		facts.Instead = append(facts.Instead, row)
	}
	for _, c := range f.Deciding(p.Set) {
		if c.Verdict == limits.NotWeighed {
			facts.ToWeigh = append(facts.ToWeigh, checkKeyOf(c))
		}
	}
	return facts
}

func planMoves(moves []adjust.Move) []PlanMove {
	var all []PlanMove
	for i := range moves {
		m := PlanMove{Move: moveOf(&moves[i]), Whole: moves[i].Whole}
		for _, r := range moves[i].Relief {
			m.Relief = append(m.Relief, relief{checkKeyOf(r.Check), r.Kg, r.Check.LimitKN.Valid})
		}
		all = append(all, m)
	}
	return all
}
