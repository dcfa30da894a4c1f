package words

import "reconcile/internal/record"

// planFacts is a plan: its document, and what is known beyond it.
type planFacts struct {
	record.PlanFacts
	Plan *record.Plan
}

// planReasons are the codes of Why.
var planReasons = []string{"conflict", "trip_not_known", "not_weighed", "nothing_decides", "cannot_hold", "failed_recheck", "node_limit", "tightened_recheck"}
