package flow

import (
	"reconcile/internal/adjust"
	"reconcile/internal/pdfout"
	"reconcile/internal/record"
	"reconcile/internal/regions"
	"reconcile/internal/signoff"
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

// VisitSheet draws the plan of a visit as a sheet to take along, on the paper of
// the job's region; unit is kg, lb, or "" for what the region prints. It has no
// record attached and is no summary.
func VisitSheet(job *tickets.Job, v *record.Visit, program, unit string) ([]byte, error) {
	paper := "a4"
	if job.Region == regions.UnitedStates {
		paper = "letter"
	}
	pdf, err := pdfout.DrawSheet(record.SheetOf(job, v, program, paper, VisitUnit(v, unit)))
	if err != nil {
		return nil, err
	}
	return signoff.FillID(pdf)
}

// VisitUnit is the unit a plan is printed in.
func VisitUnit(v *record.Visit, unit string) string {
	if unit != "" {
		return unit
	}
	return string(regions.Of(regions.Region(v.Region)).PrintIn)
}

// VisitTickets is a tickets.csv whose lines wait for the figures of a plan.
func VisitTickets(job *tickets.Job, v *record.Visit) tickets.Form {
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
	lines := []tickets.Waiting{}
	if v.Deck == string(tickets.DeckSingle) || v.Deck == string(tickets.DeckMulti) {
		lines = append(lines, tickets.Waiting{OnDeck: "empty", Scale: scale})
	}
	for _, d := range v.Route() {
		l := tickets.Waiting{Setup: tickets.Setup(d.Setup), Scale: scale}
		if d.Gauge {
			l.Scale = gauge
		}
		if l.Setup == tickets.Coupled && job.Outfit.TravelsStated && job.Outfit.Travels != tickets.TravelsPlain {
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
