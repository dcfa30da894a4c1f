package flow

import (
	"reconcile/internal/adjust"
	"reconcile/internal/pdfout"
	"reconcile/internal/record"
	"reconcile/internal/regions"
	"reconcile/internal/signoff"
	"reconcile/internal/tickets"
)

// PlanVisit plans which weighings the ratings of a job need. It asks stop, where there is one,
// between its steps, and returns [context.Canceled] once that has said yes.
func PlanVisit(job *tickets.Job, o Options, stop func() bool) (*record.Visit, error) {
	plan, err := adjust.Visit(job, stop)
	if err != nil {
		return nil, err
	}
	return record.VisitOf(job, plan, o.Program), nil
}

// Sheet is what to take along to the weighings of a plan: the plan drawn on the
// paper of the job's region, which has no record attached and is no summary, and a
// tickets.csv whose lines wait for its figures.
func Sheet(job *tickets.Job, plan *record.Visit, o Options) (pdf []byte, form tickets.Form, err error) {
	pdf, err = pdfout.DrawSheet(plan, regions.Of(job.Region).Paper, o.unit(job))
	if err == nil {
		_, err = signoff.FillID(pdf)
	}
	return pdf, toFill(job, plan), err
}

// toFill is a tickets.csv whose lines wait for the figures of a plan.
func toFill(job *tickets.Job, v *record.Visit) tickets.Form {
	scale, gauge := "", ""
	for _, s := range job.Scales {
		switch {
		case s.Name == "":
		case s.Gauge && gauge == "":
			gauge = s.Name
		case !s.Gauge && scale == "":
			scale = s.Name
		}
	}
	lines := []tickets.Reading{}
	if !v.Pads {
		lines = append(lines, tickets.Reading{OnDeck: "empty", Scale: scale})
	}
	for _, d := range v.Route {
		l := tickets.Reading{State: d.State, HitchStated: job.Outfit.TravelsStated && !job.Outfit.TravelsPlain, Scale: scale}
		if d.Gauge {
			l.Scale = gauge
		}
		for _, stop := range d.Stops {
			for _, on := range stop.OnDeck {
				l.OnDeck = on
				lines = append(lines, l)
			}
		}
	}
	return tickets.Blank(job.Region, false, lines)[0]
}
