package adjust

import (
	"github.com/shopspring/decimal"

	"reconcile/internal/limits"
	"reconcile/internal/tickets"
)

// modification is what a set of planned ratings, with its own loads on board,
// would leave over without moving anything. It never decides.
type modification struct {
	Set     string
	MassKg  decimal.Decimal // of the loads of the set
	Remains []*limits.Check // deciding checks that are over, unsettled or not weighed
}

// modifications lists the sets of a job in the order of the forms, ratings first.
func modifications(job *tickets.Job, f *limits.Findings) []modification {
	var all []modification
	for _, set := range f.Sets {
		m := modification{Set: set.Name}
		for i := range job.Loads {
			if job.Loads[i].Set == set.Name {
				m.MassKg = m.MassKg.Add(job.Loads[i].Kg)
			}
		}
		// What is not weighed remains as well: a higher rating does not make a
		// load known.
		for _, c := range set.Deciding {
			if c.Verdict != limits.Within {
				m.Remains = append(m.Remains, c)
			}
		}
		all = append(all, m)
	}
	return all
}
