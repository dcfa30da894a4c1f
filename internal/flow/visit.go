package flow

import (
	"reconcile/internal/adjust"
	"reconcile/internal/record"
	"reconcile/internal/tickets"
)

// Visit plans which weighings the ratings of a job need.
func Visit(job *tickets.Job) (*record.Visit, error) {
	plan, err := adjust.Visit(job)
	if err != nil {
		return nil, err
	}
	return record.VisitOf(job, plan), nil
}
