package record

import (
	"reconcile/internal/adjust"
	"reconcile/internal/limits"
)

// planFacts is what is known of a plan beyond what its document has: why there
// is none or how far it is proved, and what would do instead. Masses are decimal
// strings of kilograms where the search has them exactly.
type planFacts struct {
	Set        string         // planned ratings that it is made for; "" for those in force
	Why        string         // a reason of package adjust; "" where it is found and proved
	Offered    int            // loads that may move
	Nearest    []Move         // where there is no plan: what leaves the least excess
	Against    []Blocking     // limits that cannot be met together
	Opposed    bool           // no single move brings all of Against nearer to their limits
	BoundLeft  string         // proved: no plan leaves less behind
	BoundMoved string         // proved: of those, none moves less
	NotOffered []notOffered   // loads whose share depends on something missing
	Instead    []modification // sets, and what each would leave
	ToWeigh    []checkKey     // deciding checks that are not weighed
}

// relief is what one move takes off a check's load; negative: puts on. Of a
// lower limit the signs are turned: positive is towards the limit being kept.
type relief struct {
	checkKey
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

// planFactsOf gives the facts of a plan, and of what sets of planned ratings
// would do instead; blocking are the limits that it does not meet.
func (m *memory) planFactsOf(p *adjust.Plan, f *limits.Findings, blocking []Blocking) *planFacts {
	facts := &planFacts{
		Set: p.Set, Why: string(p.Why), Offered: p.Offered, Opposed: p.Opposed,
		BoundLeft: p.Bound.Left.String(), BoundMoved: p.Bound.Moved.String(),
		Nearest: movesOf(p.Nearest),
	}
	for _, i := range p.Against {
		facts.Against = append(facts.Against, blocking[i])
	}
	for _, n := range p.NotOffered {
		facts.NotOffered = append(facts.NotOffered, notOffered(n))
	}
	for _, set := range p.Instead {
		row := modification{Set: set.Set, MassKg: set.MassKg.String(), Conflict: f.Conflict}
		row.Remains = make([]Check, len(set.Remains))
		for i, c := range set.Remains {
			m.fillCheck(&row.Remains[i], c)
		}
		facts.Instead = append(facts.Instead, row)
	}
	for _, c := range p.ToWeigh {
		facts.ToWeigh = append(facts.ToWeigh, checkKeyOf(c))
	}
	return facts
}
