package flow

import (
	"reconcile/internal/adjust"
	"reconcile/internal/pdfout"
	"reconcile/internal/record"
	"reconcile/internal/regions"
	"reconcile/internal/signoff"
	"reconcile/internal/tickets"
)

// Visit is which weighings the ratings of a job need.
type Visit struct {
	Plan    *record.Visit
	Unit    string       // that it is printed in
	Tickets tickets.Form // a tickets.csv whose lines wait for the figures of the plan
	program string
	paper   string
}

// PlanVisit plans the weighings of a job. It asks stop, where there is one,
// between its steps, and returns [context.Canceled] once that has said yes.
func PlanVisit(job *tickets.Job, o Options, stop func() bool) (*Visit, error) {
	plan, err := adjust.Visit(job, stop)
	if err != nil {
		return nil, err
	}
	doc := record.VisitOf(job, plan)
	return &Visit{Plan: doc, Unit: optionsOf(job, o).Unit, Tickets: toFill(job, doc), program: o.Program, paper: regions.Of(job.Region).Paper}, nil
}

// Sheet draws the plan as a sheet to take along, on the paper of the job's
// region. It has no record attached and is no summary.
func (v *Visit) Sheet() ([]byte, error) {
	pdf, err := pdfout.DrawSheet(v.Plan, v.program, v.paper, v.Unit)
	if err != nil {
		return nil, err
	}
	return signoff.FillID(pdf)
}

// toFill is a tickets.csv whose lines wait for the figures of a plan.
func toFill(job *tickets.Job, v *record.Visit) tickets.Form {
	scale, gauge := "", ""
	for _, s := range job.Scales {
		switch {
		case s.Name == "":
		case s.Deck == tickets.DeckGauge && gauge == "":
			gauge = s.Name
		case s.Deck != tickets.DeckGauge && scale == "":
			scale = s.Name
		}
	}
	lines := []tickets.Reading{}
	if v.Deck == tickets.DeckSingle || v.Deck == tickets.DeckMulti {
		lines = append(lines, tickets.Reading{OnDeck: "empty", Scale: scale})
	}
	for _, d := range v.Route() {
		l := tickets.Reading{Setup: tickets.Setup(d.Setup), Scale: scale}
		if d.Gauge {
			l.Scale = gauge
		}
		if l.Setup == tickets.Coupled && job.Outfit.TravelsStated && job.Outfit.Travels != tickets.Plain {
			l.Hitch = tickets.Hitch(d.Hitch)
		}
		for _, stop := range d.Stops {
			for _, on := range stop.OnDeck {
				l.OnDeck = on
				lines = append(lines, l)
			}
		}
	}
	return tickets.BlankTickets(job.Region, lines)
}
