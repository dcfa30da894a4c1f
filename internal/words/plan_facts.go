package words

import "reconcile/internal/record"

// PlanFacts is what is known of a plan beyond its document: why there is none
// or how far it is proved, what each move relieves, and what would do instead.
// Masses are decimal strings of kilograms where the search has them exactly.
type PlanFacts struct {
	Plan       *record.Plan
	Set        string // planned ratings that it is made for; "" for those in force
	Why        string // see PlanReasons; "" where it is found and proved
	Offered    int    // loads that may move
	Moves      []PlanMove
	Nearest    []PlanMove        // where there is no plan: what leaves the least excess
	Against    []record.Blocking // limits that cannot be met together
	Opposed    bool              // no single move brings all of Against nearer to their limits
	BoundLeft  string            // proved: no plan leaves less behind
	BoundMoved string            // proved: of those, none moves less
	NotOffered []NotOffered      // loads whose share depends on something missing
	Instead    []Modification    // sets, and what each would leave
	ToWeigh    []record.CheckKey // deciding checks that are not weighed
}

// planReasons are the codes of Why.
var planReasons = []string{"conflict", "trip_not_known", "not_weighed", "nothing_decides", "cannot_hold", "failed_recheck", "node_limit", "tightened_recheck"}

// PlanMove is a move with what it takes off or puts on the checks that were not
// kept.
type PlanMove struct {
	record.Move
	Whole  bool // all of the load
	Relief []Relief
}

// Relief is what one move takes off a check's load; negative: puts on. Of a
// lower limit the signs are turned: positive is towards the limit being kept.
type Relief struct {
	record.CheckKey
	Kg float64
	KN bool // a force: not printed
}

// NotOffered is a load that is not offered for a move, and what is missing:
// place, or a column of outfit.csv.
type NotOffered struct{ Load, To, Missing string }

// Modification is what a set of planned ratings would leave.
type Modification struct {
	Set      string
	MassKg   string         // of the loads of the set
	Conflict bool           // the readings disagree under it
	Remains  []record.Check // deciding checks over, unsettled or not weighed
}
