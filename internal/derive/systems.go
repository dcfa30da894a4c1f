package derive

import (
	"reconcile/internal/derive/lsq"
	"reconcile/internal/tickets"
)

// Systems gives every system of equations that a job's results take: those of
// the rounds, that without the ties, those of the routes to the download. They
// are for comparison with other solvers; units are those of [lsq.System].
func Systems(job *tickets.Job) ([]lsq.System, error) {
	var all []lsq.System
	s, err := solve(job, options{watch: func(y lsq.System) { all = append(all, y) }})
	if err != nil {
		return nil, err
	}
	s.FitWithoutTies()
	s.Routes()
	return all, nil
}
